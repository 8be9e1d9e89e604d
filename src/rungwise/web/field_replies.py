"""What is said of a field that was left: kept, kept with its refusal, or kept beside another's."""

from __future__ import annotations

from pydantic import field_serializer

from rungwise import records
from rungwise.records import EntryResult
from rungwise.web.shown import Shown
from rungwise.wording import capital, joined, mark, moment_told, say, told


class FieldReply(Shown):
    """The answer to a field that is saved as it is left. seen: what the field has seen now."""

    level: str
    text: str
    seen: int | None = None

    @field_serializer("text")
    def _in_the_language(self, text: str) -> str:
        """It goes to a person, by a script that has no catalog."""
        return told(text)


class FieldClash(Shown):
    """Two texts for one field, each as row, text and who. waits: it came from an older form."""

    title: str
    stands: tuple[int, str, str]
    waits: tuple[int, str, str]


SAVED = mark("Saved.")


def told_of(
    left: EntryResult[records.Entry] | EntryResult[records.Reading],
    level: str = "fine",
    text: str = SAVED,
) -> FieldReply:
    """What became of a field. level, text: what is said where nothing is wrong with it."""
    if left.other is not None:
        who = left.other.person.name if left.other.person else mark("somebody")
        return FieldReply(
            level="doubt",
            text=say(
                "{who} wrote here meanwhile: “{typed}”, which stands. Yours is saved beside it; "
                "load the page again and choose.",
                who=capital(who),
                typed=left.other.typed,
            ),
        )
    if left.row.refusal:
        level, text = "wrong", left.row.refusal
    return FieldReply(level=level, text=text, seen=left.row.version)


def clashes_of(
    entries: dict[str, records.Entry], beside: list[records.Entry], titles: dict[str, str]
) -> list[FieldClash]:
    """What waits beside another, for somebody to choose. titles: of fields, by name."""
    return [
        FieldClash(
            title=titles.get(each.field, each.field),
            stands=_shown(entries[each.field]),
            waits=_shown(each),
        )
        for each in beside
        if each.field in entries
    ]


def _shown(entry: records.Entry) -> tuple[int, str, str]:
    who = entry.person.name if entry.person else mark("somebody")
    return entry.id, entry.typed or mark("nothing"), joined(", ", (who, moment_told(entry.local)))
