"""The kinds of entry: each a form defined once, that draws the page, checks the post and checks the synced JSON."""
