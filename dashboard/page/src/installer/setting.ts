// One setting: what it is, what it may be, and its change, which the controller checks.

import type { SettingRow, SettingValue } from "../api.ts";
import { ask } from "../ask.ts";
import { answerLine, button } from "../button.ts";
import { english, h, mark, say, type Part } from "../dom.ts";
import { texts } from "../texts.ts";
import type { Leave } from "./installer.ts";
import { whenWords } from "./settings.ts";

export interface SettingNews {
  readonly row: SettingRow;
  readonly value: SettingValue;
  readonly system: string; // empty for the house
  readonly leave: Leave;
  readonly changed: () => void;
}

export function settingPart({ row, system, changed }: SettingNews): Part<SettingNews> {
  const id = `setting-${system === "" ? "house" : system}-${row.name}`.replace(/[^\w-]/g, "-");
  const value = h("span", { class: "value" });
  const beside = h("span", { class: "age" });
  const field = h("input", { id, type: "text", autocomplete: "off", spellcheck: "false", "aria-describedby": `${id}-answer` });
  const path = system === "" ? "api/settings" : `api/systems/${encodeURIComponent(system)}/settings`;
  const set = button(texts.installer.settings.set, async () => {
    const outcome = await ask("PATCH", path, { [row.name]: field.value.trim() });
    mark(field, "aria-invalid", String(!outcome.granted));
    if (outcome.granted) changed();
    else field.focus();
    return { ...outcome, reasons: [] }; // a setting says nothing of single outputs
  });
  const answer = answerLine(set);
  answer.id = `${id}-answer`;
  const form = h("form", { class: "form" }, h("label", { for: id }, texts.installer.settings.newValue), " ", field, " ", set.root);
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    set.root.click();
  });
  const file = h("dd");
  const change = h("dd");
  const facts: [string, HTMLElement][] = [
    [texts.installer.settings.unit, h("dd", {}, row.unit === "" ? texts.installer.settings.noUnit : row.unit)],
    [texts.installer.settings.allowed, h("dd", english, row.allowed)],
    [texts.installer.settings.byDefault, h("dd", {}, row.default)],
    [texts.installer.settings.inFile, file],
    [texts.installer.settings.changed, change],
  ];
  let shown = "";
  return {
    root: h("details", { class: "setting" },
      h("summary", {}, row.name.replace(/_/g, " "), ": ", value, " ", beside),
      h("p", english, row.meaning),
      h("dl", { class: "facts" }, ...facts.flatMap(([words, dd]) => [h("dt", {}, words), dd])),
      form, answer),
    tell({ value: v, leave }) {
      say(value, v.value);
      say(beside, v.changed === null ? "" : texts.installer.settings.isChanged);
      say(file, v.file);
      say(change, v.changed === null
        ? texts.installer.settings.unchanged
        : texts.installer.settings.changedFrom(v.changed.from, whenWords(v.changed.when), v.changed.by));
      if (v.value !== shown) field.value = shown = v.value;
      form.hidden = !leave.install;
    },
  };
}
