"""Everything of a yard out in one zip, as JSON and as tables, and in again."""
