// The settings of the house and its systems, out of the controller's one table; the
// changes that count, of which the newest can be taken back; and the site file.

import { readChanges, readSettings, type Change, type Settings } from "../api.ts";
import { ask, look } from "../ask.ts";
import { answerLine, button } from "../button.ts";
import { english, h, Parts, say, type Part } from "../dom.ts";
import { texts } from "../texts.ts";
import type { Leave } from "./installer.ts";
import { settingPart, type SettingNews } from "./setting.ts";

const readAgainMs = 30_000; // others may change settings as well

interface Group {
  readonly name: string;
  readonly rows: readonly SettingNews[];
}

export interface SettingsPart extends Part<Leave> {
  read(): void;
}

export function settingsPart(): SettingsPart {
  let leave: Leave = { install: false, word: "" };
  let known: { readonly settings: Settings; readonly changes: readonly Change[] } | null = null;
  let readMs = 0;
  const owner = h("select", { id: "owner" });
  const whose = h("p", { class: "form" }, h("label", { for: "owner" }, texts.installer.settings.whose), " ", owner);
  const mayNot = h("p", { class: "quiet" });
  const trouble = h("p", { class: "strong", role: "alert" });
  const groups = h("div");
  const groupParts = new Parts<Group>(groups, (g) => g.name, (g) => groupPart(g.name));
  const changes = changesPart(() => read());
  owner.addEventListener("change", show);

  function read(): void {
    readMs = performance.now();
    Promise.all([look("api/settings", readSettings), look("api/changes", readChanges)]).then(
      ([settings, changes]) => {
        known = { settings, changes };
        say(trouble, "");
        show();
      },
      (e: Error) => say(trouble, e.message));
  }

  function show(): void {
    say(mayNot, leave.word);
    whose.hidden = changes.root.hidden = known === null;
    if (known === null) return;
    const { settings } = known;
    offer(owner, settings);
    const chosen = settings.owners.find((o) => o.system === owner.value) ?? settings.owners[0];
    if (chosen === undefined) return;
    const values = new Map(chosen.values.map((v) => [v.setting, v]));
    const rows = settings.table.flatMap((row) => {
      const value = values.get(row.name);
      return value === undefined ? [] : [{ row, value, system: chosen.system, leave, changed: read }];
    });
    groupParts.tell([...new Set(rows.map((r) => r.row.group))].map((name) => ({ name, rows: rows.filter((r) => r.row.group === name) })));
    changes.tell({ changes: known.changes, leave });
  }

  return {
    root: h("section", { "aria-labelledby": "settings" },
      h("h3", { id: "settings" }, texts.installer.settings.heading),
      h("p", { class: "quiet" }, texts.installer.settings.hint), mayNot, trouble, whose, groups, changes.root),
    read,
    tell(news) {
      leave = news;
      if (performance.now() - readMs > readAgainMs) read();
      else show();
    },
  };
}

/** Systems first: what a system has of its own counts. */
function offer(owner: HTMLSelectElement, { owners }: Settings): void {
  const names = [...owners.slice(1), ...owners.slice(0, 1)].map((o) => o.system);
  if ([...owner.options].map((o) => o.value).join("\n") === names.join("\n")) return;
  owner.replaceChildren(...names.map((name) => h("option", { value: name }, name === "" ? texts.installer.settings.house : name)));
}

function groupPart(name: string): Part<Group> {
  const rows = h("div");
  const parts = new Parts<SettingNews>(rows, (n) => `${n.system} ${n.row.name}`, (n) => settingPart(n));
  return { root: h("div", {}, h("h4", english, name), rows), tell: (group) => parts.tell(group.rows) };
}

interface ChangesNews {
  readonly changes: readonly Change[];
  readonly leave: Leave;
}

/** The changes that count, newest first; the site file with them in it. */
function changesPart(changed: () => void): Part<ChangesNews> & { readonly root: HTMLElement } {
  let newest = 0;
  const undo = button(texts.installer.settings.undo, async () => {
    const outcome = await ask("DELETE", `api/changes/${newest}`);
    if (outcome.granted) changed();
    return outcome;
  });
  const none = h("p");
  const list = h("ol", { class: "changes" });
  const answer = answerLine(undo);
  const mayNot = h("p", { class: "quiet" });
  const file = h("a", { href: "api/site-file", download: "site.toml" }, texts.installer.settings.siteFile);
  const download = h("p", {}, file);
  const parts = new Parts<Change>(list, (c) => String(c.number), (c) => changeLine(c));
  return {
    root: h("div", {},
      h("h4", {}, texts.installer.settings.changes), none, list, undo.root, answer,
      h("h4", {}, texts.installer.settings.siteFileHeading),
      h("p", { class: "quiet" }, texts.installer.settings.siteFileHint), mayNot, download),
    tell({ changes, leave }) {
      newest = changes[0]?.number ?? 0;
      say(none, changes.length === 0 ? texts.installer.settings.noChanges : "");
      parts.tell(changes);
      undo.root.hidden = !leave.install || changes.length === 0;
      say(mayNot, leave.word);
      download.hidden = !leave.install;
    },
  };
}

function changeLine(c: Change): Part<Change> {
  const what = c.values.map((v) => texts.installer.settings.change(v.setting, v.from, v.to)).join(", ");
  return {
    root: h("li", {}, texts.installer.settings.changeOf(c.system === "" ? texts.installer.settings.house : c.system, what, whenWords(c.when), c.by)),
    tell: () => undefined,
  };
}

/** "2026-02-19 18:47" of the house, or that nobody knows. */
export const whenWords = (when: string | null): string => (when === null ? texts.clockUnset : when.slice(0, 16).replace("T", " "));
