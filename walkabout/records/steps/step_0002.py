"""Step 2: an entry that goes back to itself names nothing in the table of what stands: half a row less to write."""

STATEMENTS: tuple[str, ...] = ("UPDATE standing SET root_id = '' WHERE root_id = entry_id",)
