"""Where a record or people.yaml names an exhibit."""

from evidence.record._walk import everything
from evidence.record.yamltext import YamlText

_KEYS = frozenset({"exhibit", "about"})
"""Keys whose value is the id of an exhibit; ``about`` is a note's."""


def places_of(exhibit: str, source: YamlText) -> tuple[str, ...]:
    """Places that name an exhibit, ``job.yaml:41:7``, in the order of the file; not its own entry.

    Args:
        exhibit: id of the exhibit.
        source: job.yaml or people.yaml as read.
    """
    found = (
        path for path, value in everything(source.data) if value == exhibit and path and path[-1] in _KEYS
    )
    return tuple(source.where(path) for path in sorted(found, key=lambda path: source.values[path].start))
