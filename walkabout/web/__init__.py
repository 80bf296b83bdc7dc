"""Pages, forms and sign-in: one blueprint a noun. A page is: load, ask care, render."""
