"""The code on the sheet: what is printed is what is read, however it is typed."""

from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.sheets.codes import ALPHABET, code_of, grouped, read_code, read_digest


@given(st.text())
def test_what_is_printed_is_read_again(text):
    assert read_code(grouped(code_of(text))) == code_of(text)


# The first 80 bits of the digest, five at a time: worked out here in another way, by bits as text.
@given(st.text())
def test_the_code_is_the_beginning_of_the_digest(text):
    bits = "".join(f"{byte:08b}" for byte in sha256(text.encode()).digest())[:80]
    letters = [ALPHABET[int(bits[start : start + 5], 2)] for start in range(0, 80, 5)]

    assert code_of(text) == "".join(letters)


@pytest.mark.parametrize(
    "typed",
    ["abcd-efgh-jkmn-p0r1", "ABCD EFGH JKMN POR1", " abcdefghjkmnporI ", "ABCDEFGHJKMNP0RL"],
)
def test_it_may_be_typed_in_any_way_that_people_read_it(typed):
    assert read_code(typed) == "ABCDEFGHJKMNP0R1"


@pytest.mark.parametrize("typed", ["", "ABCD", "ABCD-EFGH-JKMN-P0R1-X", "ABCD-EFGH-JKMN-P0R?"])
def test_what_is_no_code_is_none(typed):
    assert read_code(typed) is None


def test_a_digest_may_be_typed_with_spaces_and_capitals():
    assert read_digest("AB " * 32) == "ab" * 32
    assert read_digest("AB" * 31) is None
