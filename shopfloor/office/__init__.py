"""The pages of the manager and the screen room."""
