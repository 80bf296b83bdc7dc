"""Tags: their codes, the symbols that cameras read, the sheets they are printed on."""
