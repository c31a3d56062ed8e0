"""What can go wrong with a backup, in words that say what to do."""


class BackupError(Exception):
    """Nothing was half done; the message says what was wrong and what to do."""
