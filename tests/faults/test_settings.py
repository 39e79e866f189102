"""Every setting given nonsense is refused by its name, with exit code 2 and one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.__main__ import main
from bot.settings import SETTINGS

TOKEN = "990:AAExampleTokenThatIsOnlyForTheDouble_35"
NONSENSE = {
    "FRYWIRE_DATABASE": ["fish", "mysql://x", "sqlite:///", "postgresql://:::"],
    "FRYWIRE_TELEGRAM_TOKEN": ["fish", "990:two words", "https://example.org"],
    "FRYWIRE_TELEGRAM_BASE_URL": ["fish", "ftp://example.org", "http://", "http://[::1", "http://host:99999"],
    "FRYWIRE_TELEGRAM_WEBHOOK_URL": ["fish", "http://club.example/in", "https://"],
    "FRYWIRE_TELEGRAM_WEBHOOK_SECRET": ["two words", "x" * 257, "ümlaut"],
    "FRYWIRE_TELEGRAM_WEBHOOK_LISTEN": ["not a host", "-x-", "127.0.0.1:80"],
    "FRYWIRE_TELEGRAM_WEBHOOK_PORT": ["fish", "0", "70000", "²", "-1", "8443.5"],
    "FRYWIRE_WORKER": ["two words", "x" * 65],
    "FRYWIRE_PAGE_HOST": ["not a host", "http://localhost", "a..b"],
    "FRYWIRE_PAGE_PORT": ["fish", "70000", "²", "-1"],
    "FRYWIRE_PAGE_NAMES": ["http://club.example", "a b", "ok, -x-"],
    "FRYWIRE_PAGE_ADDRESS": ["club.example", "ftp://club.example", "https://"],
    "FRYWIRE_PAGE_PROXY": ["perhaps", "2"],
    "FRYWIRE_BACKUP_FOLDER": ["/dev/null", "/dev/null/below"],
    "FRYWIRE_BACKUP_DAYS": ["fish", "0", "²", "-3", "9" * 30],
    "FRYWIRE_LOG_LEVEL": ["fish", "-1"],
}


def test_no_setting_is_left_out() -> None:
    assert set(NONSENSE) == {setting.name for setting in SETTINGS}


@pytest.mark.parametrize(("name", "value"), [(name, value) for name, values in NONSENSE.items() for value in values])
def test_nonsense_is_refused_by_name(
    name: str, value: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for setting in SETTINGS:
        monkeypatch.delenv(setting.name, raising=False)
    monkeypatch.setenv("FRYWIRE_DATABASE", f"sqlite:///{tmp_path}/club.sqlite")
    monkeypatch.setenv("FRYWIRE_TELEGRAM_TOKEN", TOKEN)
    monkeypatch.setenv(name, value)
    assert main(["start"]) == 2
    said = capsys.readouterr().err
    assert name in said
    assert len(said.strip().splitlines()) == 1
    assert TOKEN not in said
    assert main(["check", "--offline"]) == 1
    assert name in capsys.readouterr().out
