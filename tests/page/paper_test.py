"""What is handed out on paper: how many pages it takes, that nothing goes over the edge of one, and that it can be read on
a phone as well."""

import base64
import pathlib
import re
import subprocess
import tempfile

from browser import Browser, run_asked

ROOT = pathlib.Path(__file__).resolve().parents[2]
# In inches, without the margins of 11 mm that the pages ask for.
PAPER = {"A4": (210 / 25.4, 297 / 25.4), "Letter": (8.5, 11)}
MARGINS = 2 * 11 / 25.4
PIXELS_PER_INCH = 96
# Five sheets for a pupil, and one page of the key.
PAGES = 6
# What each pupil made of what was handed out: where the bench stands, and what the layout is called.
CLASS = {"ada": ("7 m", "mine"), "ben <b>": ("702 cm", "a name that is much longer than there is room for in a column"),
         "cleo": ("10 m", "\u0645\u0646\u0634\u0627\u0631"), "dora": ("430 cm", "in the saw")}


class Tests:
    def __init__(self, program, folder, shots):
        self.program, self.folder, self.shots = program, folder, shots
        self.browser = Browser()

    def made(self, name, *arguments):
        file = self.folder / f"{name}.html"
        subprocess.run([self.program, *map(str, arguments), "--quiet", "--out", file], check=True, capture_output=True)
        return file

    def lessons(self):
        for level in (1, 2, 3):
            for scenario in ("garage", "class"):
                yield level, self.made("lesson", "lesson", "--level", level, "--pupils", 3, ROOT / f"scenarios/{scenario}.yaml")

    def ranking(self):
        layouts = self.folder / "class"
        layouts.mkdir(exist_ok=True)
        for whose, (bench, name) in CLASS.items():
            (layouts / f"{whose}.yaml").write_text(handed_in(bench, name))
        return self.made("class", "class", layouts)

    def pages(self, paper):
        wide, high = PAPER[paper]
        printed = self.browser.call("Page.printToPDF", paperWidth=wide, paperHeight=high, preferCSSPageSize=True)
        return len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(printed["data"])))

    def printed(self, script, wide):
        """What a script finds where the page is laid out as it is for paper."""
        self.browser.call("Emulation.setEmulatedMedia", media="print")
        self.browser.size(round(wide), 1000)
        found = self.browser.run(script)
        self.browser.call("Emulation.setEmulatedMedia", media="")
        self.browser.size(1400, 1000)
        return found

    # What is tested.

    def each_sheet_and_each_key_has_a_page_of_its_own(self):
        for level, file in self.lessons():
            self.browser.open(file.as_uri())
            for paper, (wide, high) in PAPER.items():
                assert self.pages(paper) == 3 * PAGES, (level, paper)
                room = (high - MARGINS) * PIXELS_PER_INCH
                heights = self.printed("[...document.querySelectorAll('section')].map(e => e.getBoundingClientRect().height)",
                                       (wide - MARGINS) * PIXELS_PER_INCH)
                assert len(heights) == 3 * PAGES and max(heights) <= room, (level, paper, heights, room)

    def there_is_room_to_write(self):
        for level, file in self.lessons():
            self.browser.open(file.as_uri())
            lines = self.printed("[...document.querySelectorAll('.lines')].map(e => e.getBoundingClientRect().height)", 700)
            # Of ways, of what holds up, and of the redesign; a line is 7 mm high.
            for wanted, found in zip((1, 3, 5) * 3, lines, strict=True):
                assert found >= 7 * wanted / 25.4 * PIXELS_PER_INCH, (level, lines)

    def no_column_of_a_ranking_is_lost(self):
        self.browser.open(self.ranking().as_uri())
        for wide, _ in PAPER.values():
            room = (wide - MARGINS) * PIXELS_PER_INCH
            right = self.printed("Math.max(...[...document.querySelectorAll('th, td')].map(e => e.getBoundingClientRect().right))",
                                 room)
            assert right <= round(room), (right, room)

    def a_phone_has_room_for_them(self):
        files = [*(file for _, file in self.lessons()), self.ranking()]
        for file in files:
            self.browser.open(file.as_uri())
            self.browser.size(390, 844)
            wide = self.browser.run("document.scrollingElement.scrollWidth")
            self.browser.size(1400, 1000)
            assert wide <= 390, (file, wide)

    def rules_of_accessibility_hold(self, axe):
        for file in (self.made("lesson", "lesson", "--level", 3), self.ranking()):
            self.browser.open(file.as_uri())
            self.browser.run(axe.read_text() + ";0")
            violations = self.browser.run(
                "axe.run(document).then(all => all.violations.map(v => [v.id, v.nodes.map(n => n.target.join(' '))]))")
            assert not violations, (file, violations)

    def take_shots(self):
        for name, file in (("lesson", self.made("lesson", "lesson", "--level", 3)), ("class", self.ranking())):
            self.browser.open(file.as_uri())
            for paper, (wide, high) in PAPER.items():
                printed = self.browser.call("Page.printToPDF", paperWidth=wide, paperHeight=high, preferCSSPageSize=True)
                (self.shots / f"{name}-{paper}.pdf").write_bytes(base64.b64decode(printed["data"]))
            self.browser.size(390, 844, 2)
            high = self.browser.run("document.scrollingElement.scrollHeight")
            clip = {"x": 0, "y": 0, "width": 390, "height": min(high, 7000), "scale": 1}
            shot = self.browser.call("Page.captureScreenshot", clip=clip, captureBeyondViewport=True)
            (self.shots / f"{name}-390.png").write_bytes(base64.b64decode(shot["data"]))
            self.browser.size(1400, 1000)


def handed_in(bench, name):
    at = "rack: {at: [1 m, 4 m]}, saw: {at: [4 m, 4 m]}"
    return f"""title: Class
room: {{size: [12 m, 6 m], doors: [{{name: door, between: [[5 m, 0 m], [6 m, 0 m]]}}]}}
stations:
  rack: {{size: [1 m, 50 cm], stand: [0 m, -1 m]}}
  saw: {{size: [1 m, 1 m], stand: [0 m, -1 m], does: {{cut: {{per lot: 1 min}}}}}}
  bench: {{size: [1 m, 50 cm], stand: [0 m, -1 m], does: {{plane: {{per lot: 1 min}}}}}}
crew: {{maker: {{}}}}
projects: {{box: {{parts: {{side: {{pieces: 4, material at: rack, route: [cut, plane]}}}}}}}}
orders: [{{project: box}}]
layouts:
  as it was: {{at: {{{at}, bench: {{at: [11 m, 4 m]}}}}}}
  "{name}": {{at: {{{at}, bench: {{at: [{bench}, 4 m]}}}}}}
"""


def main():
    with tempfile.TemporaryDirectory() as folder:
        run_asked(__doc__, lambda program, shots: Tests(program, pathlib.Path(folder), shots), lambda tests: (
            tests.each_sheet_and_each_key_has_a_page_of_its_own, tests.there_is_room_to_write,
            tests.no_column_of_a_ranking_is_lost, tests.a_phone_has_room_for_them,
        ), "what is handed out fits")


if __name__ == "__main__":
    main()
