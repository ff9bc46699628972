"""A model fetched from a server on this machine, with everything that goes wrong on the way."""

import hashlib
import io
import random
import re
import threading
import zipfile
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from assistant.errors import HearingError
from assistant.hearing.model_fetch import fetch_model, known_models
from assistant.hearing.vosk_model import is_model

NAME = "vosk-model-tiny"


def archive(extra: dict[str, bytes] | None = None, folder: str = NAME + "/") -> bytes:
    """An archive in the layout of a model; its files are no real model."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as zipped:
        zipped.writestr(folder + "am/final.mdl", random.Random(0).randbytes(100_000))
        zipped.writestr(folder + "graph/Gr.fst", b"g" * 1000)
        for name, content in (extra or {}).items():
            zipped.writestr(name, content)
    return out.getvalue()


class Server:
    """Serves one archive; breaks off after `cut` bytes, and resumes if `ranges`."""

    def __init__(self) -> None:
        self.content = archive()
        self.cut: int | None = None
        self.ranges = True
        self.status = 200
        self.asked: list[str | None] = []
        outer = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                wanted = self.headers.get("Range")
                outer.asked.append(wanted)
                if outer.status != 200:
                    self.send_error(outer.status)
                    return
                start = 0
                if wanted and outer.ranges:
                    found = re.fullmatch(r"bytes=(\d+)-", wanted)
                    assert found is not None
                    start = int(found[1])
                body = outer.content[start:]
                self.send_response(206 if start else 200)
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body if outer.cut is None else body[: outer.cut])

            def log_message(self, *args: object) -> None: ...

        self.http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.url = f"http://127.0.0.1:{self.http.server_port}/models/{NAME}.zip"
        threading.Thread(target=self.http.serve_forever, daemon=True).start()

    @property
    def digest(self) -> str:
        return hashlib.sha256(self.content).hexdigest()

    def fetch(self, folder: Path, **changes: object) -> Path:
        wanted = {"url": self.url, "sha256": self.digest, "size": len(self.content)} | changes
        return fetch_model("en", folder, **wanted)  # type: ignore[arg-type]


@pytest.fixture
def server() -> Iterator[Server]:
    server = Server()
    yield server
    server.http.shutdown()
    server.http.server_close()


def test_a_model_is_fetched_with_progress_and_only_once(server: Server, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    model = server.fetch(tmp_path / "models", progress=lambda *n: told.append(n))
    assert model == tmp_path / "models" / NAME
    assert is_model(model)
    assert told[0][0] == 0
    assert told[-1] == (len(server.content), len(server.content))
    assert told == sorted(told)
    assert [p.name for p in model.parent.iterdir()] == [NAME]
    assert server.fetch(tmp_path / "models") == model
    assert server.asked == [None]


def test_a_broken_download_goes_on_where_it_stopped(server: Server, tmp_path: Path) -> None:
    server.cut = 300
    with pytest.raises(HearingError, match=rf"300 of {len(server.content)} bytes are here"):
        server.fetch(tmp_path)
    assert not (tmp_path / NAME).exists()
    server.cut = None
    assert is_model(server.fetch(tmp_path))
    assert server.asked == [None, "bytes=300-"]


def test_a_server_that_can_not_resume_begins_again(server: Server, tmp_path: Path) -> None:
    server.cut, server.ranges = 300, False
    with pytest.raises(HearingError):
        server.fetch(tmp_path)
    server.cut = None
    assert is_model(server.fetch(tmp_path))


def test_a_wrong_digest_is_refused_and_deleted(server: Server, tmp_path: Path) -> None:
    with pytest.raises(HearingError, match="not the archive that was expected"):
        server.fetch(tmp_path, sha256="0" * 64)
    assert list(tmp_path.iterdir()) == []


def test_part_of_another_download_is_found_out(server: Server, tmp_path: Path) -> None:
    (tmp_path / f"{NAME}.zip.part").write_bytes(b"x" * 100)
    with pytest.raises(HearingError, match="not the archive"):
        server.fetch(tmp_path)
    assert is_model(server.fetch(tmp_path))


@pytest.mark.parametrize("name", ["../evil.txt", "/tmp/evil.txt", f"{NAME}/../../evil.txt", "a\\b"])
def test_paths_that_lead_outside_are_refused(server: Server, tmp_path: Path, name: str) -> None:
    server.content = archive({name: b"evil"})
    with pytest.raises(HearingError, match="outside its folder"):
        server.fetch(tmp_path / "models")
    assert not list(tmp_path.rglob("evil*"))
    assert not (tmp_path / "models" / NAME).exists()


def test_links_are_refused(server: Server, tmp_path: Path) -> None:
    out = io.BytesIO(archive())
    with zipfile.ZipFile(out, "a") as zipped:
        link = zipfile.ZipInfo(f"{NAME}/link")
        link.external_attr = 0o120777 << 16
        zipped.writestr(link, "/etc/passwd")
    server.content = out.getvalue()
    with pytest.raises(HearingError, match="outside its folder"):
        server.fetch(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_an_archive_that_swells_is_refused(server: Server, tmp_path: Path) -> None:
    server.content = archive({f"{NAME}/big": bytes(3_000_000)})
    with pytest.raises(HearingError, match="far more than a model"):
        server.fetch(tmp_path)


@pytest.mark.parametrize(
    ("content", "says"),
    [(b"no archive at all", "damaged archive"), (archive(folder="x/y/"), "no Vosk model")],
)
def test_what_is_no_model_is_told(
    server: Server, tmp_path: Path, content: bytes, says: str
) -> None:
    server.content = content
    with pytest.raises(HearingError, match=says):
        server.fetch(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_refusing_server_and_no_server_are_told(server: Server, tmp_path: Path) -> None:
    server.status = 404
    with pytest.raises(HearingError, match="answers 404"):
        server.fetch(tmp_path)
    with pytest.raises(HearingError, match="Check the network"):
        server.fetch(tmp_path, url=f"http://127.0.0.1:1/{NAME}.zip")


def test_a_folder_that_can_not_be_written_is_told(server: Server, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(HearingError, match="can not be written"):
        server.fetch(tmp_path / "file" / "models")


def test_the_pinned_model_is_complete() -> None:
    entry = known_models()["en"]
    assert str(entry["url"]).startswith("https://")
    assert str(entry["url"]).endswith(f"/{entry['name']}.zip")
    assert re.fullmatch("[0-9a-f]{64}", str(entry["sha256"]))
    assert entry["size"] == 41_205_931
