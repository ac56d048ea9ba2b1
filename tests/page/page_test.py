"""What a page does in a real browser, held against what the program says of the same run."""

import base64
import json
import math
import pathlib
import subprocess
import tempfile
import time

from browser import Browser, run_asked

ROOT = pathlib.Path(__file__).resolve().parents[2]
MICROS = 1e6
# How long the page takes for a time in which every shop is shut, at the speed of one.
SHUT_TAKES = 360 * MICROS

HOSTILE = """
title: "<img src=x onerror=window.harmed=1> \\"quoted\\" 'and' & \\U0001F600"
stations:
  "</script><script>window.harmed=2</script>": {}
  "saw <b>bold</b>": {does: {"rip {{ 7*7 }}": {per piece: 1 min}}}
  "\\u0645\\u0646\\u0634\\u0627\\u0631": {does: {"a \\"b\\" --> c": {per lot: 10 min}}}
projects:
  "box' onload='window.harmed=3":
    pieces: 4
    material at: "</script><script>window.harmed=2</script>"
    route: ["rip {{ 7*7 }}", "a \\"b\\" --> c"]
orders:
  - project: "box' onload='window.harmed=3"
layouts:
  "<svg onload=window.harmed=4>":
    distances: {"</script><script>window.harmed=2</script>": {"saw <b>bold</b>": 8 m, "\\u0645\\u0646\\u0634\\u0627\\u0631": 6 m}, "saw <b>bold</b>": {"\\u0645\\u0646\\u0634\\u0627\\u0631": 5 m}}
  near:
    distances: {"</script><script>window.harmed=2</script>": {"saw <b>bold</b>": 3 m, "\\u0645\\u0646\\u0634\\u0627\\u0631": 4 m}, "saw <b>bold</b>": {"\\u0645\\u0646\\u0634\\u0627\\u0631": 2 m}}
"""


class Tests:
    def __init__(self, program, folder, shots):
        self.program, self.folder, self.shots = program, folder, shots
        self.browser = Browser()

    def shopstride(self, *arguments):
        done = subprocess.run([self.program, *map(str, arguments)], cwd=self.folder, capture_output=True, text=True)
        if done.returncode:
            raise SystemExit(f"{arguments}: {done.stderr}")
        return done.stdout

    def page(self, name, *arguments):
        file = self.folder / f"{name}.html"
        self.shopstride("page", "--quiet", "--out", file, *arguments)
        self.browser.open(file.as_uri())
        data = json.loads(self.browser.run("document.getElementById('page-data').textContent"))
        return data

    def is_quiet(self):
        """Nothing is complained of, and nothing but the page itself and fonts within it is asked for."""
        complaints = self.browser.complaints()
        assert not complaints, complaints[:3]
        requests = self.browser.requests()
        others = [url for url in requests if not url.startswith(("file:", "data:"))]
        files = [url for url in requests if url.startswith("file:")]
        assert not others and len(files) == 1, requests

    def text(self, selector):
        return self.browser.run(f"document.querySelector({json.dumps(selector)}).textContent")

    def value(self, selector):
        return float(self.browser.run(f"document.querySelector({json.dumps(selector)}).getAttribute('value')"))

    def focused(self):
        return self.browser.run(
            "(e => e.id || e.getAttribute('aria-label') || e.textContent.trim())(document.activeElement)")

    def tab_to(self, wanted, most=200):
        for _ in range(most):
            if self.focused() == wanted:
                return
            self.browser.press("Tab")
        raise AssertionError(f"no way by keyboard to {wanted}")

    def go(self, moment, data):
        """To a moment by the slider; returns the moment that the slider stands for."""
        at = page_time(data["clock"], moment) / MICROS
        self.browser.run(
            f"(s => {{ s.value = {at}; s.dispatchEvent(new Event('input', {{bubbles: true}})); }})"
            "(document.getElementById('at'))")

    # What is tested.

    def it_can_be_guessed_first(self):
        self.page("guessed", "--replications", 5, ROOT / "scenarios/class.yaml")
        shows = lambda selector: self.browser.run(
            f"document.querySelector({json.dumps(selector)}).checkVisibility({{visibilityProperty: true}})")
        answers = (".headline", "#checks", ".counters")
        assert all(map(shows, answers)) and not shows("#guesses")
        self.tab_to("guess")
        self.browser.press("Enter")
        assert not any(map(shows, answers)) and shows("#guesses")
        # Nothing is shown before something has been guessed.
        self.browser.run("document.querySelector('#guesses button').click()")
        assert not any(map(shows, answers))
        self.browser.press(" ")
        self.browser.press("Tab")
        self.browser.type("the <b>saw</b>")
        self.browser.press("Enter")
        assert all(map(shows, answers)) and not shows("#guesses")
        first = self.browser.run("document.querySelector('#guesses input').value")
        guessed = self.text("#guessed")
        assert guessed == f"Guessed: “{first}” takes less walking; the <b>saw</b> holds the work up.", guessed
        # A second guess stands beside the first.
        self.browser.press("Enter")
        assert not any(map(shows, answers)) and shows("#guessed")
        self.browser.run("document.querySelector('#guess').click()")
        assert all(map(shows, answers)) and self.text("#guessed") == guessed
        self.is_quiet()

    def counters_and_places(self):
        for name in ("garage", "class", "minimal", "evenings", "queue"):
            print(f"  {name}")
            file = ROOT / f"scenarios/{name}.yaml"
            self.counters_end_at_the_figures(name, file)
            self.places_are_those_of_the_trace(name, file)

    def counters_end_at_the_figures(self, name, *scenario):
        data = self.page(name, "--replications", 1, *scenario)
        found = json.loads(self.shopstride("compare", "--quiet", "--no-charts", "--replications", 1, "--json", "-",
                                           *scenario))
        by_name = {candidate["name"]: candidate for candidate in found["candidates"]}
        self.browser.run("document.getElementById('at').focus()")
        self.browser.press("End")
        for number, replay in enumerate(data["replays"], 1):
            figures = by_name[replay["candidate"]]
            assert self.value(f"#side-{number} .walked") == figures["walking"]["mean_m"], replay["candidate"]
            if figures["lead_time"]["mean_s"] is not None:
                assert self.value(f"#side-{number} .finished") == figures["lead_time"]["mean_s"]
        self.is_quiet()
        return data

    def places_are_those_of_the_trace(self, name, *scenario):
        data = self.page(name, "--replications", 1, *scenario)
        for number, replay in enumerate(data["replays"], 1):
            lines = self.shopstride("run", "--quiet", "--replications", 1, "--trace", "-", "--layout",
                                    replay["candidate"], *scenario)
            walks = [line for line in map(json.loads, lines.splitlines()) if line["what"] == "walk"]
            chosen = walks[:: max(1, len(walks) // 10)][:10]
            assert len(chosen) >= min(5, len(walks))
            for nth, walk in enumerate(chosen):
                share = (nth + 1) / (len(chosen) + 1)
                moment = walk["start_s"] + (walk["end_s"] - walk["start_s"]) * share
                if is_shut_within(replay, walk):
                    continue
                self.go(moment * MICROS, data)
                person = next(i for i, one in enumerate(replay["people"]) if one["name"] == walk["person"])
                at = self.browser.run(
                    f"document.querySelectorAll('#side-{number} .person')[{person}].dataset.at").split()
                ways = [way for way in replay["ways"]
                        if replay["places"][way["from"]] == walk["from"] and replay["places"][way["to"]] == walk["to"]
                        and abs(way["points"][-1][2] - round(walk["metres"] * 1e9)) <= 0]
                assert ways, walk
                wanted = [along(way["points"], walk["metres"] * share) for way in ways]
                off = min(math.dist(map(float, at), one) for one in wanted)
                assert off < 1e-3, (walk, at, wanted)
        self.is_quiet()

    def decisions_are_told_when_stepped(self):
        """Step by step they are the sentences of the command that follows the same run."""
        for name, most in (("garage", 200), ("minimal", 20)):
            file = ROOT / f"scenarios/{name}.yaml"
            data = self.page("decisions", "--replications", 2, "--replication", 2, file)
            self.browser.run("document.getElementById('at').focus()")
            self.browser.press("Home")
            told = [[] for _ in data["replays"]]
            for _ in range(most):
                for number, sentences in enumerate(told, 1):
                    shown = self.text(f"#side-{number} .decided")
                    if shown and shown not in sentences[-1:]:
                        sentences.append(shown)
                        assert shown in self.text("#said") or len(sentences) == 1
                if self.browser.run("document.getElementById('at').value === document.getElementById('at').max"):
                    break
                self.browser.run("document.getElementById('next-decision').click()")
            for replay, sentences in zip(data["replays"], told, strict=True):
                said = self.shopstride("run", "--quiet", "--explain", "--replications", 2, "--replication", 2, "--layout",
                                       replay["candidate"], file)
                said = " ".join(said.split()).split("and the batch. ")[1]
                assert len(sentences) > 2 and " ".join(" ".join(sentences).split()) == said, replay["candidate"]
        self.is_quiet()

    def a_part_is_followed(self):
        for name in ("garage", "class"):
            file = ROOT / f"scenarios/{name}.yaml"
            data = self.page("part", "--replications", 1, file)
            options = self.browser.run("[...document.querySelectorAll('#follow option')].map(o => [o.value, o.textContent])")
            for number, replay in enumerate(data["replays"], 1):
                lines = self.shopstride("run", "--quiet", "--replications", 1, "--trace", "-", "--layout", replay["candidate"],
                                        file)
                carried = [line for line in map(json.loads, lines.splitlines())
                           if line["what"] == "walk" and line["manner"] == "carrying"]
                for nth, walk in enumerate(carried[:: max(1, len(carried) // 10)][:10]):
                    share = (nth + 1) / 12
                    if is_shut_within(replay, walk):
                        continue
                    lot = next(i for i, lot in enumerate(data["replays"][0]["lots"])
                               if (lot["order"], lot["name"], lot["pieces"]) == (walk["order"], walk["item"], walk["pieces"]))
                    value = f"lot {lot}"
                    assert any(option[0] == value for option in options)
                    self.browser.run(f"(f => {{ f.value = {json.dumps(value)}; f.dispatchEvent(new Event('change')); }})"
                                     "(document.getElementById('follow'))")
                    self.go((walk["start_s"] + (walk["end_s"] - walk["start_s"]) * share) * MICROS, data)
                    at = self.browser.run(f"document.querySelector('#side-{number} .lot-ring').dataset.at").split()
                    ways = [way for way in replay["ways"]
                            if replay["places"][way["from"]] == walk["from"] and replay["places"][way["to"]] == walk["to"]
                            and way["points"][-1][2] == round(walk["metres"] * 1e9)]
                    off = min(math.dist(map(float, at), along(way["points"], walk["metres"] * share)) for way in ways)
                    assert off < 1e-3, (walk, at)
                    doing = self.text(f"#side-{number} .doing")
                    assert walk["item"] in doing and f"is carried to {walk['to']}" in doing, doing
                self.browser.run("document.getElementById('at').focus()")
                self.browser.press("End")
                assert "all its steps are done" in self.text(f"#side-{number} .doing")
        self.is_quiet()

    def everything_by_keyboard(self):
        data = self.page("keyboard", "--replications", 20)
        self.tab_to("play")
        before = self.text("#clock")
        self.browser.press("Enter")
        time.sleep(1.5)
        assert self.text("#play") == "Pause"
        self.browser.press("Enter")
        assert self.text("#play") == "Play"
        assert self.text("#clock") != before, "the clock stands"
        said = self.text("#said")
        assert "walked" in said, said
        self.tab_to("next")
        before = self.text("#said")
        self.browser.press("Enter")
        assert self.text("#said") != before
        self.tab_to("at")
        self.browser.press("Home")
        assert self.value("#side-1 .walked") == 0
        self.tab_to("speed")
        self.browser.press("ArrowDown")
        assert self.browser.run("document.getElementById('speed').value") == "1200"
        finding = data["floors"][0]["findings"][0]
        label = self.browser.run("document.querySelector('#findings-1 button').textContent.trim()")
        self.tab_to(label)
        self.browser.press("Enter")
        marked = self.browser.run("[...document.querySelectorAll('svg .is-marked')].map(e => e.id)")
        assert f"plan-1-finding-{finding['number']}" in marked, marked
        place = finding["places"][0]
        name = data["replays"][0]["places"][place]
        group = self.browser.run(
            f"document.querySelector('#plan-1-station-{place + 1}').getAttribute('aria-label')")
        assert group.startswith(name)
        self.browser.run("document.activeElement.blur()")
        self.tab_to(f"plan-1-station-{place + 1}")
        self.browser.press("Enter")
        assert finding["words"] in self.text("#side-1 .told")
        self.is_quiet()

    def every_control_has_a_name(self):
        self.page("names", "--replications", 20)
        nodes = self.browser.call("Accessibility.getFullAXTree")["nodes"]
        controls = {"button", "slider", "combobox", "link", "textbox", "checkbox", "radio"}
        found = [node for node in nodes if node.get("role", {}).get("value") in controls and not node.get("ignored")]
        nameless = [node for node in found if not node.get("name", {}).get("value", "").strip()]
        assert len(found) > 10 and not nameless, nameless
        live = self.browser.run("document.querySelectorAll('[aria-live]').length")
        assert live == 1, live

    def rules_of_accessibility_hold(self, axe):
        """Those that axe-core can decide by itself, in the light and in the dark."""
        for name in ("garage", "basement"):
            self.page("rules", "--replications", 20, ROOT / f"scenarios/{name}.yaml")
            self.browser.run(axe.read_text() + ";0")
            for scheme in ("light", "dark"):
                self.browser.media(prefers_color_scheme=scheme)
                violations = self.browser.run(
                    "axe.run(document).then(all => all.violations.map(v => [v.id, v.nodes.map(n => n.target.join(' '))]))")
                assert not violations, (name, scheme, violations)
            self.browser.media()

    def less_motion_is_honoured(self):
        data = self.page("motion", "--replications", 20)
        self.browser.media(prefers_reduced_motion="reduce")
        self.browser.run("document.getElementById('play').click()")
        at = set()
        ends = time.monotonic() + 2
        while time.monotonic() < ends:
            at.add(self.browser.run("document.getElementById('at').value"))
        self.browser.run("document.getElementById('play').click()")
        self.browser.media()
        assert 1 < len(at) <= 4, at
        assert data["replays"]

    def a_phone_has_room_for_it(self):
        self.page("phone", "--replications", 20)
        self.browser.size(390, 844)
        wide = self.browser.run("document.scrollingElement.scrollWidth")
        assert wide <= 390, wide
        seen = "[...document.querySelectorAll('.side')].map(e => e.getBoundingClientRect().height > 0)"
        assert self.browser.run(seen) == [True, False]
        self.browser.run("document.querySelectorAll('.switch button')[1].click()")
        assert self.browser.run(seen) == [False, True]
        small = self.browser.run(
            "[...document.querySelectorAll('button, select, summary')].filter(e => e.getClientRects().length)"
            ".map(e => [e.textContent.trim().slice(0, 20), e.getBoundingClientRect().height]).filter(([, h]) => h < 32)")
        assert not small, small
        self.browser.size(1400, 1000)

    def names_stay_text(self):
        file = self.folder / "hostile.yaml"
        file.write_text(HOSTILE)
        data = self.page("hostile", "--replications", 20, file)
        assert self.browser.run("window.harmed === undefined")
        assert self.browser.run("document.querySelectorAll('img, b, iframe').length") == 0
        title = self.browser.run("document.title")
        assert title == data["findings"]["scenario"], title
        assert "<svg onload" in self.text("#side-1 h3")
        self.browser.run("document.getElementById('next').click()")
        assert self.browser.run("window.harmed === undefined")
        self.is_quiet()

    def a_frame_is_drawn_in_time(self):
        self.page("frames", "--replications", 20, ROOT / "scenarios/class.yaml")
        used = lambda: next(m["value"] for m in self.browser.call("Performance.getMetrics")["metrics"]
                            if m["name"] == "ScriptDuration")
        self.browser.run("window.frames_seen = 0; (function count() { window.frames_seen += 1; requestAnimationFrame(count); })()")
        before, frames = used(), self.browser.run("window.frames_seen")
        self.browser.run("document.getElementById('play').click()")
        time.sleep(3)
        frames = self.browser.run("window.frames_seen") - frames
        each = (used() - before) / frames * 1000
        print(f"  {each:.2f} ms of script a frame, {frames} frames")
        assert each < 8, each

    def take_shots(self):
        for scenario in ("garage", "class", "basement"):
            file = ROOT / f"scenarios/{scenario}.yaml"
            data = self.page(f"shot-{scenario}", "--replications", 100, file)
            begins, ends = data["clock"]["begins"], data["clock"]["ends"]
            session = next(iter(data["replays"][0]["sessions"]), (begins, ends))
            for scheme in ("light", "dark"):
                for width in (1400, 390):
                    self.browser.size(width, 1000 if width > 600 else 844, 1 if width > 600 else 2)
                    self.browser.media(prefers_color_scheme=scheme)
                    self.go(session[0] + (session[1] - session[0]) * 0.31, data)
                    time.sleep(0.3)
                    high = self.browser.run("document.scrollingElement.scrollHeight")
                    clip = {"x": 0, "y": 0, "width": width, "height": min(high, 7000), "scale": 1}
                    shot = self.browser.call("Page.captureScreenshot", clip=clip, captureBeyondViewport=True)
                    target = self.shots / f"{scenario}-{width}-{scheme}.png"
                    target.write_bytes(base64.b64decode(shot["data"]))
            self.browser.media()
            self.browser.size(1400, 1000)


def page_time(clock, moment):
    """The page's own time at a moment: it passes quickly over what is shut."""
    at = moment - clock["begins"]
    for begins, ends in clock["shut"]:
        takes = min(ends - begins, SHUT_TAKES)
        if moment >= ends:
            at -= ends - begins - takes
        elif moment > begins:
            at -= (moment - begins) * (1 - takes / (ends - begins))
    return at


def is_shut_within(replay, walk):
    """Whether the shop closes during a walk, whose share is then not that of the calendar."""
    ends = [closes / MICROS for _, closes, _ in replay["sessions"]]
    return any(walk["start_s"] < end < walk["end_s"] for end in ends)


def along(points, metres):
    """Where a way leads after so many metres, corner by corner."""
    left = metres * 1e9
    for (x, y, before), (to_x, to_y, after) in zip(points, points[1:]):
        if left <= after and after > before:
            share = (left - before) / (after - before)
            return x + (to_x - x) * share, y + (to_y - y) * share
    return tuple(points[-1][:2])


def main():
    with tempfile.TemporaryDirectory() as folder:
        def make(program, shots):
            tests = Tests(program, pathlib.Path(folder), shots)
            tests.browser.size(1400, 1000)
            return tests

        run_asked(__doc__, make, lambda tests: (
            tests.counters_and_places, tests.decisions_are_told_when_stepped, tests.a_part_is_followed,
            tests.everything_by_keyboard, tests.every_control_has_a_name,
            tests.it_can_be_guessed_first, tests.less_motion_is_honoured, tests.a_phone_has_room_for_it, tests.names_stay_text,
            tests.a_frame_is_drawn_in_time,
        ), "the page does what it should")


if __name__ == "__main__":
    main()
