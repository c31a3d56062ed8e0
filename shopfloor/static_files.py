"""Static files under names that carry a hash of their content."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedFiles(CompressedManifestStaticFilesStorage):
    """A page must still answer, and say what is missing, before the front end has been built."""

    manifest_strict = False

    def hashed_name(self, name: str, content: object = None, filename: str | None = None) -> str:
        try:
            return super().hashed_name(name, content, filename)
        except ValueError:
            return name
