"""Holds a page that a browser shows against axe-core, from the folder into which `./tests/run` put it: no violation of
WCAG 2.2 up to AA, and contrasts as AAA asks for them."""

import os
import pathlib

AXE = pathlib.Path(os.environ.get("FIVEMARK_AXE") or pathlib.Path(__file__).parents[2] / "target/axe") / "node_modules/axe-core/axe.min.js"

RUN = """
const done = arguments[arguments.length - 1];
axe.run(document, {
  runOnly: {type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]},
  rules: {"color-contrast-enhanced": {enabled: true}, "color-contrast": {enabled: false}},
}).then((found) => done(found.violations.map((one) =>
  `${one.id}: ${one.help}: ${one.nodes.map((node) => node.target.join(" ")).join(", ")}`)), (error) => done([String(error)]));
"""


def violations(driver):
    """What is wrong with the page as it stands, one line each."""
    driver.execute_script(AXE.read_text(encoding="utf-8"))
    return driver.execute_async_script(RUN)
