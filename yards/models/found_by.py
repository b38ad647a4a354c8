"""What a search for a horse looks into: its name without accents, its transponder, its UELN.

A line each. The name's steps are those of ``scoring.rules.board_search.fold``, by nothing but what
every PostgreSQL has, and by canonical forms only, so that a name grows by no more than its marks.
No index is made of it: row security lets no match within text go before the wall between
organisations, and the board reads every horse of the one organisation anyway.
"""

from django.db.models import F, Func, TextField, Value
from django.db.models.functions import Lower

_MARKS = r"[\u0300-\u036f\u0591-\u05c7\u064b-\u0652\u0670]"
_UNMARKED = f"regexp_replace(normalize(%(expressions)s, NFD), '{_MARKS}', '', 'g')"
_ONE_LETTER = f"translate({_UNMARKED}, 'øłđðħı’ʼ', 'olddhi''''')"
_TWO_LETTERS = f"replace(replace(replace({_ONE_LETTER}, 'æ', 'ae'), 'œ', 'oe'), 'þ', 'th')"
FOUND_BY = Func(
    Func(F("name_key"), template=_TWO_LETTERS, output_field=TextField()),
    Value("\n"),
    F("transponder"),
    Value("\n"),
    Lower("ueln"),
    template="(%(expressions)s)",
    arg_joiner=" || ",
    output_field=TextField(),
)
