// The words of the pages, from Fluent files: the language that the address asks for (`?lang=de`) or that the device
// prefers, and English for whatever that one lacks. HTML names its words by `data-word`, a label by `data-label`.

import { FluentBundle, FluentResource } from "../lib/fluent/index.js";

export const LANGUAGES = ["en", "es", "de"];

// The language to speak: the asked-for one if it is there, or the first of the device's that is, or English.
export function choose(asked, preferred) {
  const known = [asked, ...preferred].map((tag) => (tag || "").toLowerCase().split("-")[0]);
  return known.find((tag) => LANGUAGES.includes(tag)) || "en";
}

export class Words {
  // `files` are `[language, text]`, the spoken language first.
  constructor(files) {
    this.language = files[0][0];
    this.bundles = files.map(([language, text]) => {
      const bundle = new FluentBundle(language, { useIsolating: true });
      bundle.addResource(new FluentResource(text));
      return bundle;
    });
  }

  // A message with its arguments. A name among them is isolated, so that it cannot turn the words around it about.
  say(id, values = null) {
    for (const bundle of this.bundles) {
      const message = bundle.getMessage(id);
      if (message && message.value) return bundle.formatPattern(message.value, values, []);
    }
    return id;
  }

  // The mark before the tenths of a time.
  get mark() {
    return new Intl.NumberFormat(this.language).format(0.5).charAt(1);
  }

  // Writes its words into everything below an element that names some.
  write(root) {
    for (const element of root.querySelectorAll("[data-word]")) element.textContent = this.say(element.dataset.word);
    for (const element of root.querySelectorAll("[data-label]")) element.setAttribute("aria-label", this.say(element.dataset.label));
  }
}

// Fetches the words of a page (`judge` is `messages/LANGUAGE/judge.ftl`, after what all pages share) and writes them
// into it. A file that is not to be had, on a page that is kept without a link, leaves its words to English.
export async function load(page) {
  const language = choose(new URLSearchParams(location.search).get("lang"), navigator.languages || []);
  const languages = language === "en" ? ["en"] : [language, "en"];
  const fetched = async (tag, name) => {
    try {
      const answer = await fetch(`/pages/messages/${tag}/${name}.ftl`);
      return answer.ok ? await answer.text() : "";
    } catch {
      return "";
    }
  };
  const files = languages.map(async (tag) => [tag, (await Promise.all(["common", page].map((name) => fetched(tag, name)))).join("\n")]);
  const words = new Words(await Promise.all(files));
  document.documentElement.lang = words.language;
  words.write(document);
  return words;
}
