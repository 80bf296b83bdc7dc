"""The app behind its real server. Source: RFC 9110 section 15.4.5 (304 has no body) and 9.3.2 (HEAD)."""

import http.client

from tests.server import Server


def test_answers_without_a_body_arrive(server: Server) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=30)
    connection.request("HEAD", "/help")
    head = connection.getresponse()
    assert (head.status, head.read()) == (200, b"")
    assert "Content-Security-Policy" in head.headers
    connection.request("HEAD", "/")
    assert connection.getresponse().status == 302
    connection.close()
