// All views of the page, in the order of their list. To add one:
//
// 1. A folder of its own with a file that exports a View (frame.ts has what that
//    is; findings/findings.ts is a short model): its name in the address, its
//    words, and make(), which builds its elements once with h() of dom.ts and
//    gives { root, tell(news) }; go(rest) if it keeps something in the address.
//    The frame shows its words as the h2; headings of its own begin with h3.
//    The content policy blocks style attributes: use classes.
// 2. Its line here; its styles in a file beside it, with a line in style.css.
// 3. Its texts in texts/english.ts, under its name.
// 4. test/views.test.mjs goes through all views for accessibility by itself; what
//    it does gets a test file of its own.

import type { View } from "./frame.ts";
import { days } from "./days/days.ts";
import { energy } from "./energy/energy.ts";
import { findings } from "./findings/findings.ts";
import { glance } from "./glance/glance.ts";
import { installer } from "./installer/installer.ts";
import { wall } from "./wall/wall.ts";

export const views: readonly [View, ...View[]] = [glance, days, energy, findings, installer, wall];
