// Starts the page: the feed brings news, the view shows it.

import { Feed } from "./feed.ts";
import { nowView } from "./now/view.ts";

const view = nowView();
document.body.append(view.root);

let version: string | undefined;
new Feed((news) => {
  const running = news.now?.version;
  if (version !== undefined && running !== undefined && running !== version) location.reload(); // the page of the new program
  version ??= running;
  view.tell(news);
});
