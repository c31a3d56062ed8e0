"""What the book holds about people: told, given out, taken out again."""
