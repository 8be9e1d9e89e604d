"""What a person reads, in the person's language: texts that know their message, and catalogs.

A text is made in English where it belongs, by `say` or `mark`, and is an ordinary `str` to every
program. It is put into another language at the very end, where it is shown, from the message and
the values that it was made of; no sentence is ever taken apart.
"""

from rungwise.wording.catalogs import LANGUAGES, Catalog, Language, catalog_of, language_for
from rungwise.wording.dates import (
    Hours,
    day_told,
    hours_now,
    hours_of_day,
    moment_told,
    time_told,
)
from rungwise.wording.languages import (
    current,
    gettext,
    in_language,
    is_known,
    ngettext,
    speaking,
    told,
    told_throughout,
)
from rungwise.wording.measures import (
    SYSTEMS,
    System,
    in_both,
    measured,
    measuring,
    typed_told,
)
from rungwise.wording.plain import as_plain, from_plain, restored, stored
from rungwise.wording.said import Said, capital, joined, mark, named, say, shaped
