"""The exception tree. Every message is one plain line that says what happened and what to do.

WalkaboutError
├── BadInput            something a person or a file gave cannot be taken
├── NotFound            what was asked for is not in this yard
├── Conflict            the same id came with other content
├── SettingsError       an option or environment variable has an unusable value
└── DataFolderError     the data folder cannot be used
    ├── YardMissing     no yard has been set up in it yet
    ├── FolderLocked    another process serves it
    ├── DiskFull        the disk took no more
    └── SchemaTooNew    a newer program wrote the database
"""


class WalkaboutError(Exception):
    """Base of all errors that a person is told about."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class BadInput(WalkaboutError):
    """Input that cannot be taken.

    Attributes:
        field: name of the field at fault, if one field is.
    """

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


class NotFound(WalkaboutError):
    """What was asked for is not in this yard."""


class Conflict(WalkaboutError):
    """An id that is known already came with other content."""


class SettingsError(WalkaboutError):
    """An option or environment variable has an unusable value."""


class DataFolderError(WalkaboutError):
    """The data folder cannot be used."""


class YardMissing(DataFolderError):
    """No yard has been set up in the data folder yet."""


class FolderLocked(DataFolderError):
    """Another process serves the data folder."""


class DiskFull(DataFolderError):
    """The disk took no more; what was being written has not been kept."""


class SchemaTooNew(DataFolderError):
    """The database was written by a newer program."""
