"""The exchange with phones: entries in, pages out. No HTTP here; web/sync.py speaks it."""
