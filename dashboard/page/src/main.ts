// Starts the page: the feed brings news, the frame shows them in the view that
// the address names.

import "./old_browsers.ts";
import { Feed } from "./feed.ts";
import { frame } from "./frame.ts";
import { language } from "./texts/language.ts";
import { views } from "./views.ts";

document.documentElement.lang = language;
const page = frame(views);
const go = () => page.go(location.hash);
window.addEventListener("hashchange", go);
go();
document.body.append(page.root);

let version: string | undefined;
new Feed((news) => {
  const running = news.now?.version;
  if (version !== undefined && running !== undefined && running !== version) location.reload(); // the page of the new program
  version ??= running;
  page.tell(news);
});
