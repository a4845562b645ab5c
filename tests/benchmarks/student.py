"""One student of a class, as a server and a kernel notice a browser on a lesson.

It signs in, asks for what a page asks for, starts the lesson's kernel, runs all cells,
locks a prediction, and drags. Nothing is drawn: a machine that plays a whole class has
no room for thirty browsers. JupyterLab's own scripts beyond those that its page names
are left out; a browser keeps them from one day to the next.
"""

import asyncio
import json
import os
import re
import time
from ast import literal_eval
from contextlib import suppress
from dataclasses import astuple, dataclass
from html import unescape
from pathlib import Path
from urllib.parse import quote, urljoin

import httpx
from jupyter_client.session import Session, json_packer
from jupyter_server.services.kernels.connection.base import (
    deserialize_msg_from_ws_v1 as taken_apart,
)
from jupyter_server.services.kernels.connection.base import (
    serialize_msg_to_ws_v1 as put_together,
)
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

PROTOCOL = "v1.kernel.websocket.jupyter.org"
PATIENCE = 300  # s for a server or a lesson to come up
IDLE = "idle"
SILENT = 10  # s without a picture, and a step has failed
# Asked when JupyterLab opens; each is one answer of the server.
ASKED = ("api/kernelspecs", "api/kernels", "api/sessions", "lab/api/settings")
NAMED = re.compile(r'(?:src|href)="([^"]+)"')
HERE = {"localhost", "127.0.0.1"}
PIDS = '__import__("os").getpid(), __import__("os").getppid()'
TICK = os.sysconf("SC_CLK_TCK")


class FailedError(Exception):
    """Something that a student would see as a fault."""


@dataclass(frozen=True, kw_only=True)
class Used:
    """What a process uses, or several together.

    Memory in MB: ``share`` is that of all pages, where one that n processes share
    counts one n-th (PSS), ``own`` the pages that it shares with nobody (USS).
    ``processor`` is the seconds of processors that it has taken until now.
    """

    share: float
    own: float
    processor: float

    @classmethod
    def by(cls, pid):
        """Read what the system tells of a process."""
        place = Path(f"/proc/{pid}")
        told = (place / "smaps_rollup").read_text()
        kilobytes = dict(re.findall(r"^(\w+): +(\d+) kB", told, re.MULTILINE))
        private = kilobytes["Private_Clean"], kilobytes["Private_Dirty"]
        ticks = (place / "stat").read_text().rpartition(")")[2].split()[11:13]
        return cls(
            share=int(kilobytes["Pss"]) / 1024,
            own=sum(map(int, private)) / 1024,
            processor=sum(map(int, ticks)) / TICK,
        )

    def __add__(self, other):
        pairs = zip(astuple(self), astuple(other), strict=True)
        return Used(
            **dict(zip(("share", "own", "processor"), map(sum, pairs), strict=True))
        )


class Asked:
    """A message that was sent, and by their ends the kinds that it waits for."""

    def __init__(self, until):
        self.until = until
        self.heard = {}
        self.answered = asyncio.get_running_loop().create_future()

    def hear(self, kind, content):
        """Take note of a message that answers it; the first of its kinds tells."""
        if kind == "status" and b'"idle"' in content:
            kind = IDLE
        ends = next((one for one in self.until if kind.endswith(one)), None)
        if ends is not None:
            self.heard.setdefault(ends, content)
        if len(self.heard) == len(self.until) and not self.answered.done():
            self.answered.set_result(json.loads(self.heard[self.until[0]]))


class Student:
    """A student's browser. ``home`` is the address of the server's root."""

    def __init__(self, code=""):
        self.code = code
        self.home = ""
        self.http = httpx.AsyncClient(
            follow_redirects=True, timeout=PATIENCE, limits=httpx.Limits()
        )
        self.session = Session(key=b"")
        self.waiting = {}  # what hears a message that answers one of ours
        self.opened = {}  # state of each widget on the page
        self.frames = asyncio.Condition()
        self.stage = self.lock = ""  # of the first explorer
        self.form = {}  # of that prediction
        self.frame = {}
        self.seq = 0

    # The way in ---------------------------------------------------------------

    async def sign_in(self, hub, word):
        """Sign in with a code as on the hub's page, and wait for the server."""
        page = await self.http.get(urljoin(hub, "hub/login"))
        hidden = re.search(r'name="_xsrf" value="([^"]+)"', page.text)
        form = {"username": self.code, "password": word, "_xsrf": hidden and hidden[1]}
        page = await self.http.post(urljoin(hub, "hub/login?next="), data=form)
        if page.status_code == httpx.codes.FORBIDDEN:
            raise FailedError(f"{self.code}: not signed in")
        start = time.monotonic()
        while not (place := re.match(".*/user/[^/]+/", page.url.path)):
            if time.monotonic() - start > PATIENCE:
                raise FailedError(f"{self.code}: no server after {PATIENCE} s")
            await asyncio.sleep(1)  # as the page asks how far it is
            page = await self.http.get(urljoin(hub, "hub/spawn"))
        if not page.is_success:
            raise FailedError(f"{self.code}: {page.status_code} at {page.url.path}")
        self.home = urljoin(hub, place[0])

    async def enter(self, address):
        """Come to a server of one's own by an address with a token in it."""
        self.home = address.partition("lab/tree/")[0]
        await self.get(address)

    async def get(self, path):
        """Ask for something below the server's root."""
        answer = await self.http.get(urljoin(self.home, path))
        if not answer.is_success:
            raise FailedError(f"{path}: {answer.status_code}")
        return answer

    async def open_page(self, lesson):
        """Ask for the page and what it needs; return where the lesson lies."""
        path = await self._found(lesson)
        page = await self.get(f"lab/tree/{quote(path)}")
        for part in {unescape(part) for part in NAMED.findall(page.text)}:
            if not part.startswith(("data:", "http", "#")):
                await self.http.get(urljoin(str(page.url), part))
        for asked in ASKED:
            await self.get(asked)
        return path

    async def _found(self, lesson):
        folders = [""]
        for folder in folders:
            listed = (await self.get(f"api/contents/{quote(folder)}")).json()["content"]
            for entry in listed:
                if entry["name"].startswith(lesson) and entry["type"] == "notebook":
                    return entry["path"]
            if not folder:  # lessons lie there, or one folder below
                folders += [x["path"] for x in listed if x["type"] == "directory"]
        raise FailedError(f"no lesson {lesson} on the server")

    # The lesson ---------------------------------------------------------------

    async def open_lesson(self, path):
        """Start the lesson's kernel and run all its cells, as the page does."""
        notebook = (await self.get(f"api/contents/{quote(path)}")).json()["content"]
        cells = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
        await self.start_kernel(path)
        runs = [self.run("".join(cell["source"])) for cell in cells]
        await asyncio.gather(*runs)

    async def start_kernel(self, path):
        """Start a session's kernel, listen to it, and make its acquaintance."""
        # A page with a cookie shows that it is one of the server's own.
        headers = {"X-XSRFToken": self._cookie("_xsrf")}
        asked = {"path": path, "name": path, "type": "notebook"}
        answer = await self.http.post(
            urljoin(self.home, "api/sessions"),
            json={**asked, "kernel": {"name": "python3"}},
            headers=headers,
        )
        if not answer.is_success:
            raise FailedError(f"no kernel: {answer.status_code} {answer.text[:200]}")
        kernel = answer.json()["kernel"]["id"]
        address = urljoin(self.home, f"api/kernels/{kernel}/channels")
        address = (
            f"{address.replace('http', 'ws', 1)}?session_id={self.session.session}"
        )
        cookies = "; ".join(f"{c.name}={c.value}" for c in self._cookies())
        headers = {"Cookie": cookies, "Origin": self.home.rstrip("/")}
        self.line = await websocket_connect(
            HTTPRequest(
                address,
                headers=headers,
                connect_timeout=PATIENCE,
                request_timeout=PATIENCE,
            ),
            subprotocols=[PROTOCOL],
            max_message_size=2**27,
        )
        self.listening = asyncio.create_task(self._listen())
        info = await self.ask("kernel_info_request", {})
        if "debugger" in info.get("supported_features", ()) or info.get("debugger"):
            asked = {"type": "request", "command": "debugInfo", "seq": 1}
            await self.ask("debug_request", asked, channel="control")
        await self.ask("comm_info_request", {"target_name": "jupyter.widget"})

    async def run(self, source, **more):
        """Run code; return the reply, or fail as the page would show it."""
        asked = {"code": source, "silent": False, "stop_on_error": True, **more}
        # What a cell shows comes on a line of its own, maybe after the reply.
        reply = await self.ask("execute_request", asked, until=("reply", IDLE))
        if reply["status"] != "ok":
            raise FailedError(f"{reply.get('ename')}: {reply.get('evalue')}")
        return reply

    async def settle(self):
        """Lock the first prediction; return once the explorer has answered."""
        if not (self.stage and self.lock):
            raise FailedError("the lesson has no explorer behind a prediction")
        choice = self.form["choices"][0][0]
        locked = {"act": "lock", "choice": choice, "typed": {"own": ""}}
        await self.say(self.lock, locked)
        await self._frame_where(lambda frame: frame["picture"] and not frame["still"])

    # Dragging -----------------------------------------------------------------

    def way(self):
        """Return field and values that a hand goes through, to and fro for ever."""
        grips = [grip for grip in self.frame["grips"] if not grip["locked"]]
        grip = next((one for one in grips if not one["stops"]), grips[0])
        room = grip["high"] - grip["value"] >= 10 * grip["step"]
        step = grip["step"] if room else -grip["step"]
        values = [grip["value"] + step * (10 - abs(k - 10)) for k in range(1, 21)]
        return grip, values

    async def drag(self, until, pause):
        """Drag to and fro until then; return the seconds that each step took."""
        grip, values = self.way()
        took = []
        while time.perf_counter() < until:
            start = time.perf_counter()
            self.seq = seq = self.seq + 1
            move = {
                "seq": seq,
                "grab": 1,
                "grip": grip["name"],
                "phase": "move",
                "via": "mouse",
                "values": {grip["field"]: values[seq % len(values)]},
                "view": None,
                "way": None,
            }
            await self.say(self.stage, {"move": move})
            await self._frame_where(lambda frame, n=seq: frame["answers"] >= n)
            if self.frame["refusal"] or not self.frame["picture"]:
                raise FailedError(f"no picture at {move['values']}")
            took.append(time.perf_counter() - start)
            await asyncio.sleep(pause)
        return took

    async def slide(self, slider, values, until, pause):
        """Move a slider until then; return the seconds until each new output."""
        took = []
        while time.perf_counter() < until:
            start = time.perf_counter()
            value = values[len(took) % len(values)]
            update = {"method": "update", "state": {"value": value}}
            told = {"comm_id": slider, "data": {**update, "buffer_paths": []}}
            await self.ask("comm_msg", told, until=("display_data",))
            took.append(time.perf_counter() - start)
            await asyncio.sleep(pause)
        return took

    async def used(self):
        """Return what kernel and server use; nothing where that cannot be read."""
        if httpx.URL(self.home).host not in HERE:
            return []
        asked = {"silent": True, "user_expressions": {"pids": PIDS}}
        told = (await self.run("", **asked))["user_expressions"]["pids"]
        with suppress(OSError):
            return [Used.by(pid) for pid in literal_eval(told["data"]["text/plain"])]
        return []

    async def leave(self):
        """End the lesson's kernel, and close the page."""
        if hasattr(self, "line"):
            self.listening.cancel()
            self.line.close()
        await self.http.aclose()

    # The line -----------------------------------------------------------------

    async def say(self, comm, content):
        """Send a widget's own message."""
        data = {"method": "custom", "content": content}
        message = self.session.msg("comm_msg", {"comm_id": comm, "data": data})
        await self._send(message)

    async def ask(self, kind, content, *, channel="shell", until=("reply",)):
        """Send a message; return the content of what answers it."""
        message = self.session.msg(kind, content)
        asked = self.waiting[message["msg_id"]] = Asked(until)
        await self._send(message, channel)
        try:
            return await asyncio.wait_for(asked.answered, PATIENCE)
        finally:
            del self.waiting[message["msg_id"]]

    async def _send(self, message, channel="shell"):
        packed = put_together(message, channel, json_packer)
        await self.line.write_message(packed, binary=True)

    async def _listen(self):
        while (packed := await self.line.read_message()) is not None:
            _, (header, parent, _, content, *_) = taken_apart(packed)
            header, parent = json.loads(header), json.loads(parent)
            kind = header["msg_type"]
            if kind == "comm_open":
                self._open(json.loads(content))
            elif kind == "comm_msg" and b'"frame"' in content:
                await self._take(json.loads(content))
            if asked := self.waiting.get(parent.get("msg_id")):
                asked.hear(kind, content)
        async with self.frames:  # nobody waits for a line that has gone
            self.frame = None
            self.frames.notify_all()

    def _open(self, told):
        state = told.get("data", {}).get("state", {})
        self.opened[told["comm_id"]] = state
        if "widths" in state and not self.stage:
            self.stage = told["comm_id"]

    async def _take(self, told):
        """Take in what a stage or a card is to show from now on."""
        frame = told["data"].get("state", {}).get("frame")
        if not frame:
            return
        form = frame.get("form") or {}
        if form.get("act") == "lock" and not self.lock:
            self.lock, self.form = told["comm_id"], form
        if told["comm_id"] != self.stage:
            return
        async with self.frames:
            # Grips are left out where there is no result: those of before still hold.
            grips = frame.get("grips") or self.frame.get("grips")
            self.frame = {**frame, "grips": grips}
            self.frames.notify_all()

    async def _frame_where(self, here):
        async with self.frames:
            waits = self.frames.wait_for(lambda: self.frame is None or here(self.frame))
            try:
                await asyncio.wait_for(waits, SILENT)
            except TimeoutError:
                raise FailedError(f"no picture within {SILENT} s") from None
        if self.frame is None:
            raise FailedError("the line to the kernel broke off")

    def _cookies(self):
        """Return the cookies that go to the server's own address."""
        path = httpx.URL(self.home).path
        return [c for c in self.http.cookies.jar if path.startswith(c.path)]

    def _cookie(self, name):
        """Return the value of a cookie; of two, that of the longer path."""
        found = [c for c in self._cookies() if c.name == name]
        return max(found, key=lambda c: len(c.path)).value if found else ""
