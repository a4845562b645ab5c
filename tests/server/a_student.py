"""A student of a class server without a browser: signs in, has a kernel, runs code."""

import json
import re
import time
import uuid

import requests
import websocket


class Student:
    """One student's session with a class server at ``address``."""

    def __init__(self, address, code, key):
        self.address, self.code, self.key = address.rstrip("/"), code, key
        self.session = requests.Session()
        self.place = ""  # the path of the student's own server
        self.kernel = ""

    def sign_in(self):
        """Fill in the form; return the answer, which leads to the place."""
        page = self.session.get(f"{self.address}/hub/login", timeout=30)
        xsrf = re.search(r'name="_xsrf" value="([^"]+)"', page.text)[1]
        return self.session.post(
            f"{self.address}/hub/login?next=",
            data={"username": self.code, "password": self.key, "_xsrf": xsrf},
            timeout=60,
        )

    def sit_down(self, patience=240):
        """Sign in and wait for the place; return the address that opens there."""
        end = time.monotonic() + patience
        answer = self.sign_in()
        while "/user/" not in answer.url or answer.status_code >= 400:
            assert time.monotonic() < end, (answer.url, answer.status_code)
            assert answer.status_code < 500, answer.text
            time.sleep(0.3)
            answer = self.session.get(f"{self.address}/hub/spawn", timeout=60)
        self.place = re.search(r"/user/[^/]+", answer.url)[0]
        return answer.url

    def ask(self, method, path, **given):
        """Ask the student's own server for something; return what it says."""
        places = [one for one in self.session.cookies if self.place in one.path]
        xsrf = [one.value for one in places if one.name == "_xsrf"]
        return self.session.request(
            method,
            f"{self.address}{self.place}/api/{path}",
            headers={"X-XSRFToken": xsrf[0]} if xsrf else {},
            timeout=60,
            **given,
        )

    def start_kernel(self):
        """Start a kernel; it works beside the lessons."""
        answer = self.ask("POST", "kernels", json={"name": "python3"})
        answer.raise_for_status()
        self.kernel = answer.json()["id"]

    def run(self, code, patience=60):
        """Run code in the kernel; return what it printed, or the error's text."""
        path = f"{self.place}/api/kernels/{self.kernel}/channels"
        asked = requests.Request("GET", f"{self.address}{path}").prepare()
        line = websocket.create_connection(
            f"{self.address.replace('http', 'ws', 1)}{path}",
            cookie=requests.cookies.get_cookie_header(self.session.cookies, asked),
            timeout=patience,
        )
        try:
            return _run(line, code)
        finally:
            line.close()


def _run(line, code):
    number = uuid.uuid4().hex
    header = {"msg_id": number, "session": number, "version": "5.3", "username": ""}
    ask = {"header": header | {"msg_type": "execute_request"}, "channel": "shell"}
    content = {"code": code, "silent": False, "store_history": False}
    line.send(
        json.dumps(ask | {"parent_header": {}, "metadata": {}, "content": content})
    )
    said = ""
    while True:
        message = json.loads(line.recv())
        if message["parent_header"].get("msg_id") != number:
            continue
        content = message["content"]
        if message["msg_type"] == "stream":
            said += content["text"]
        if message["msg_type"] == "error":
            said += f"{content['ename']}: {content['evalue']}"
        if message["msg_type"] == "status" and content["execution_state"] == "idle":
            return said.strip()
