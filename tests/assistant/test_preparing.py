"""A session that broke off, whose beginning does not read here, is refused in one sentence."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from assistant.errors import RecordError
from assistant.files import builtin_catalogue, builtin_sources
from assistant.preparing import begin, digest_of, new_setting, unfinished
from assistant.record.store import Store
from assistant.session.events import Started
from catalogue.profile import default_profile


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"plan": '{"blocks": 3}'}, r"blocks: Input should be a valid (tuple|array)"),
        ({"plan": '{"blocks": [], "seconds": 1}'}, r"blocks: Tuple should have at least 1 item"),
        ({"profile": '{"athlete": 7}'}, r"athlete: Input should be a valid string"),
        ({"plan": None}, r"there is no movement 'moon_walk'"),
    ],
)
def test_what_it_began_with_does_not_read(
    tmp_path: Path, changed: dict[str, str | None], why: str
) -> None:
    catalogue, digest = builtin_catalogue(), digest_of(builtin_sources())
    now = datetime.now().astimezone()
    with Store.open(tmp_path / "record.db") as store:
        setting = new_setting(catalogue, default_profile(catalogue), store, now)
        header = store.header(begin(store, setting, now, digest, "0"))
        old = header.plan.replace(setting.plan.blocks[0].movement, "moon_walk")
        texts = {name: text or old for name, text in changed.items()}
        session = store.begin(header.model_copy(update=texts))
        store.append(session, Started(0.0))
        with pytest.raises(RecordError, match=why) as raised:
            unfinished(store, catalogue, digest, header.athlete, now, lambda note: None)
    assert f"Session {session} broke off" in str(raised.value)
    assert "cuewalk train --new" in str(raised.value)
    assert "\n" not in str(raised.value)
