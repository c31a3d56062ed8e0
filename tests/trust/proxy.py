"""A small proxy that ends https, as any web server in front of Tautbook would."""

import http.client
import ssl
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path


class _Passing(BaseHTTPRequestHandler):
    """Hands each request on with its Host as it came, and what a proxy adds."""

    protocol_version = "HTTP/1.1"
    inner = 0

    def _pass_on(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        before = self.headers.get("X-Forwarded-For")
        headers = dict(self.headers) | {
            "X-Forwarded-Proto": "https",
            "X-Forwarded-For": ", ".join(filter(None, [before, self.client_address[0]])),
        }
        link = http.client.HTTPConnection("127.0.0.1", self.inner, timeout=30)
        link.request(self.command, self.path, body or None, headers)
        answer = link.getresponse()
        raw = answer.read()
        self.send_response(answer.status)
        for name, value in answer.getheaders():
            if name.lower() not in ("transfer-encoding", "connection", "content-length"):
                self.send_header(name, value)
        self.send_header("Content-Length", str(len(raw)))
        self.end_headers()
        self.wfile.write(raw)
        link.close()

    do_GET = do_POST = do_HEAD = _pass_on

    def log_message(self, *words: object) -> None:
        """Says nothing: the tests' own output is enough."""


class Proxy:
    """Https on a free loopback port with that certificate, plain http to `inner`."""

    def __init__(self, port: int, inner: int, tls: tuple[Path, Path]) -> None:
        handler = type("Passing", (_Passing,), {"inner": inner})
        self.server = ThreadingHTTPServer(("127.0.0.1", port), handler)
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(*tls)
        self.server.socket = context.wrap_socket(self.server.socket, server_side=True)
        self.thread = threading.Thread(target=self.server.serve_forever, daemon=True)
        self.thread.start()

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()
        self.thread.join(timeout=10)
