"""A browser without a window, spoken to by its own protocol over two pipes: nothing but Python and Chromium is needed."""

import argparse
import json
import os
import pathlib
import selectors
import shutil
import subprocess
import tempfile
import time

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
PATIENCE_S = 60


class Browser:
    """One page in one browser."""

    def __init__(self):
        program = next(filter(None, map(shutil.which, NAMES)), None)
        if program is None:
            raise SystemExit("there is no chromium; `apt-get install chromium`, or name another in PATH")
        self.folder = tempfile.mkdtemp()
        read_by_browser, self.to_browser = os.pipe()
        self.from_browser, written_by_browser = os.pipe()
        command = (
            f'exec "$@" 3<&{read_by_browser} 4>&{written_by_browser}'
        )
        self.process = subprocess.Popen(
            ["bash", "-c", command, "browser", program, "--headless=new", "--no-sandbox", "--disable-gpu",
             "--hide-scrollbars", "--force-color-profile=srgb", "--remote-debugging-pipe", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", f"--user-data-dir={self.folder}",
             "about:blank"],
            pass_fds=(read_by_browser, written_by_browser),
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        os.close(read_by_browser)
        os.close(written_by_browser)
        self.waiting = selectors.DefaultSelector()
        self.waiting.register(self.from_browser, selectors.EVENT_READ)
        self.unread = b""
        self.number = 0
        self.session = None
        self.events = []
        targets = self.call("Target.getTargets")["targetInfos"]
        page = next(target for target in targets if target["type"] == "page")
        self.session = self.call("Target.attachToTarget", targetId=page["targetId"], flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network", "DOM", "Accessibility", "Performance"):
            self.call(f"{domain}.enable")

    def close(self):
        self.process.terminate()
        self.process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def hear(self, patience=PATIENCE_S):
        """The next message."""
        while b"\0" not in self.unread:
            if not self.waiting.select(patience):
                raise TimeoutError("the browser says nothing")
            heard = os.read(self.from_browser, 1 << 20)
            if not heard:
                raise EOFError("the browser has ended")
            self.unread += heard
        message, self.unread = self.unread.split(b"\0", 1)
        return json.loads(message)

    def call(self, method, **parameters):
        self.number += 1
        asked = {"id": self.number, "method": method, "params": parameters}
        if self.session:
            asked["sessionId"] = self.session
        os.write(self.to_browser, json.dumps(asked).encode() + b"\0")
        while True:
            message = self.hear()
            if message.get("id") == self.number:
                if "error" in message:
                    raise RuntimeError(f"{method}: {message['error']}")
                return message["result"]
            self.events.append(message)

    def open(self, url):
        """Loads a page; what is heard from now on is about that one."""
        self.events.clear()
        self.call("Page.navigate", url=url)
        ends = time.monotonic() + PATIENCE_S
        while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
            if time.monotonic() > ends:
                raise TimeoutError(url)
            self.events.append(self.hear())

    def run(self, script):
        """What an expression of JavaScript comes to."""
        result = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in result:
            raise RuntimeError(result["exceptionDetails"])
        return result["result"].get("value")

    def press(self, key, text=None, shift=False, control=False):
        codes = {"Tab": 9, "Enter": 13, "Escape": 27, " ": 32, "Home": 36, "End": 35, "ArrowLeft": 37, "ArrowUp": 38,
                 "ArrowRight": 39, "ArrowDown": 40, ".": 190}
        text = {"Enter": "\r", " ": " ", ".": "."}.get(key, text)
        code = ord(key.upper()) if len(key) == 1 and key.isalpha() else codes.get(key, 0)
        known = {"key": key, "code": "Space" if key == " " else key, "windowsVirtualKeyCode": code,
                 "modifiers": (8 if shift else 0) + (2 if control else 0)}
        down = {"type": "keyDown", "text": text} if text else {"type": "rawKeyDown"}
        self.call("Input.dispatchKeyEvent", **known, **down)
        self.call("Input.dispatchKeyEvent", **known, type="keyUp")

    def type(self, text):
        self.call("Input.insertText", text=text)

    def mouse(self, what, at):
        """Such as "mousePressed", "mouseMoved" and "mouseReleased" of the left button."""
        x, y = at
        self.call("Input.dispatchMouseEvent", type=what, x=x, y=y, button="left", buttons=1,
                  clickCount=0 if what == "mouseMoved" else 1)

    def size(self, width, height, scale=1):
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=scale,
                  mobile=width < 600)

    def media(self, **features):
        """Such as prefers_color_scheme="dark"."""
        asked = [{"name": name.replace("_", "-"), "value": value} for name, value in features.items()]
        self.call("Emulation.setEmulatedMedia", features=asked)

    def complaints(self):
        """Everything that the console was told, and every exception."""
        heard = {"Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded"}
        self.run("0")
        return [event for event in self.events if event.get("method") in heard]

    def requests(self):
        self.run("0")
        sent = [event for event in self.events if event.get("method") == "Network.requestWillBeSent"]
        return [event["params"]["request"]["url"] for event in sent]


def run_asked(description, make, named, done):
    """What the command line asks for: pictures, or the tests that `named` lists of what `make` makes, and then the rules
    of accessibility."""
    options = argparse.ArgumentParser(description=description)
    options.add_argument("program", type=pathlib.Path, help="the built shopstride")
    options.add_argument("--shots", type=pathlib.Path, help="a folder for pictures of pages, to be looked at")
    options.add_argument("--axe", type=pathlib.Path, help="the script of axe-core, whose rules are to be held")
    asked = options.parse_args()
    tests = make(asked.program.resolve(), asked.shots)
    try:
        if asked.shots:
            asked.shots.mkdir(parents=True, exist_ok=True)
            tests.take_shots()
            return
        for test in named(tests):
            print(test.__name__.replace("_", " "))
            test()
        if asked.axe:
            print("rules of accessibility hold")
            tests.rules_of_accessibility_hold(asked.axe)
    finally:
        tests.browser.close()
    print(done)
