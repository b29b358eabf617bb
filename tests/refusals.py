"""What was refused, and in which words."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator

import pytest

from refmatch.errors import RefmatchError
from refmatch.say.sentence import PLAIN, Remedies, sentence_of


@contextlib.contextmanager
def refused(
    kind: type[RefmatchError], match: str = "", remedies: Remedies = PLAIN
) -> Iterator[pytest.ExceptionInfo[RefmatchError]]:
    """Expect an error of a kind whose sentence matches a pattern."""
    with pytest.raises(kind) as caught:
        yield caught
    sentence = sentence_of(caught.value, remedies)
    assert re.search(match, sentence), sentence
