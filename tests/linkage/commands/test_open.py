"""``footwell open``: what it starts on, what it refuses, how it ends."""

import os
import signal
import socket
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from tests.linkage.page.running import opened

ROOT = Path(__file__).parents[3]
BRAKE = ROOT / "examples" / "brake-hanging.toml"


def run(*args: str) -> Result:
    return CliRunner().invoke(footwell, ["open", *args])


def page(address: str) -> str:
    """Return the page behind an address, as a browser comes to it."""
    browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    with browser.open(address, timeout=30) as answer:
        return str(answer.read().decode())


@pytest.mark.skipif(os.name != "posix", reason="sends the signal of Ctrl-C")
def test_it_serves_until_ctrl_c_and_ends_cleanly(tmp_path: Path) -> None:
    with opened(tmp_path, str(BRAKE)) as (process, address):
        assert "Quillet two-seater" in page(address)
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(address.partition("?")[0], timeout=30)  # noqa: S310
        process.send_signal(signal.SIGINT)
        assert process.communicate(timeout=30)[0] == ""
        assert process.returncode == 0


def test_it_listens_to_this_machine_alone(tmp_path: Path) -> None:
    with opened(tmp_path) as (_, address):
        port = int(address.split(":")[2].partition("/")[0])
        with socket.create_connection(("127.0.0.1", port), 5):
            pass
        with pytest.raises(OSError, match=r".*"):
            socket.create_connection(("::1", port), 5)
        with pytest.raises(OSError, match=r".*"):  # another address of the same machine
            socket.create_connection(("127.0.0.2", port), 5)


def test_without_a_file_it_starts_on_an_example(tmp_path: Path) -> None:
    with opened(tmp_path) as (_, address):
        text = page(address)
    assert "hanging-brake.toml" in text


def test_a_file_with_faults_opens_on_its_faults(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\nnonsense = 3\n")
    with opened(tmp_path, str(bad)) as (_, address):
        text = page(address)
    assert "nonsense" in text


def test_a_file_that_cannot_be_read_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "binary.toml").write_bytes(b"\xff\xfe\x00")
    for file in ("missing.toml", ".", "binary.toml"):
        result = run(str(tmp_path / file))
        assert result.exit_code == 2
        assert len(result.stderr.splitlines()) == 1
        assert result.stdout == ""


@pytest.mark.parametrize("port", ["80", "0", "-1", "65536", "many"])
def test_a_port_that_is_none(port: str) -> None:
    result = run("--no-browser", "--port", port)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1


def test_a_port_that_is_taken() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        result = run("--no-browser", "--port", str(other.getsockname()[1]))
    assert result.exit_code == 2
    assert "--port" in result.stderr
    assert len(result.stderr.splitlines()) == 1
