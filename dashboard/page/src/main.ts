// Starts the page: the feed brings news, the view shows it.

import { Feed } from "./feed.ts";
import { nowView } from "./now/view.ts";

const view = nowView();
document.body.append(view.root);
new Feed((news) => view.tell(news));
