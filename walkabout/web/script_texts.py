"""The words that scripts show, by name; static/js/texts.js puts {values} in. Sorted by where they stand."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import TypeAlias

from flask_babel import LazyString
from flask_babel import lazy_gettext as _

# A word that counts has a form for one and one for more, by the plural rules of the page's language.
Words: TypeAlias = LazyString | dict[str, LazyString]

TEXTS: Mapping[str, Words] = MappingProxyType(
    {
        "today": _("today"),
        "yesterday": _("yesterday"),
        # The line at the bottom.
        "nothing-waiting": _("Nothing waiting"),
        "waiting": {"one": _("{count} waiting to send"), "other": _("{count} waiting to send")},
        "waiting-long": {
            "one": _("{count} waiting to send for {days} days"),
            "other": _("{count} waiting to send, the oldest for {days} days"),
        },
        "waiting-others": {
            "one": _("{count} of somebody else's"),
            "other": _("{count} of somebody else's"),
        },
        "refused": {"one": _("{count} refused"), "other": _("{count} refused")},
        "as-of": _("as of {time}"),
        "sign-in-to-send": _("Sign in to send"),
        "look": _("Look"),
        # A plant's page.
        "kept": _("Kept on this phone: {what}"),
        "undo": _("Undo"),
        "undo-what": _("Undo: {what}"),
        "undone": _("Taken back: {what}"),
        "waiting-title": _("Noted on this phone"),
        "waits": _("waits to be sent"),
        "on-the-server": _("on the server"),
        "refused-one": _("refused by the server"),
        "again": _("Again: {what}"),
        # A line of the story.
        "correct": _("Correct"),
        "correct-what": _("Correct: {what}"),
        "take-back": _("Take back"),
        "take-back-what": _("Take back: {what}"),
        "kept-back": _("Taken back: {what}"),
        "undone-back": _("Counts again: {what}"),
        "whole-entry": _("Whole entry"),
        "corrects": _("Corrects: {what}"),
        "corrected-here": _("corrected"),
        "taken-back-here": _("Taken back"),
        "choose-one": _("Choose one answer here. Nothing is kept yet."),
        "say-something": _("Nothing is filled in. Choose or write something first."),
        "phone-full": _(
            "This phone has no room left, so the note is not kept. What was kept before is safe. "
            "Free some space on the phone, then press the button again; the answers stay here."
        ),
        "add-photo": _("Add a photo"),
        "photos-only": {"one": _("{count} photo"), "other": _("{count} photos")},
        "photo-making": _("Making the photo smaller."),
        "photo-number": _("Photo {number} of this note"),
        "remove-photo": _("Remove"),
        "remove-photo-number": _("Remove photo {number}"),
        "photos-enough": _("A note takes at most {count} photos. The others are not added."),
        "photo-heic": _(
            "This browser cannot read {name}, a photo of the kind HEIC, so it is not added. It is still where you took "
            "it from, and the note is as you left it. Set the camera to JPEG (“most compatible”) and take it again."
        ),
        "photo-none": _(
            "{name} is no photo that this browser can read, so it is not added. The file is still where you took it "
            "from, and the note is as you left it. Choose another one."
        ),
        "save-photo": _("Save the photo"),
        "delete-photo-sure": _(
            "Delete this refused photo from this phone? It is nowhere else in the yard's records."
        ),
        "photo-refused": _("The server cannot take this photo."),
        "photos-waiting": {"one": _("{count} photo waiting"), "other": _("{count} photos waiting")},
        "photos-refused": {"one": _("{count} photo refused"), "other": _("{count} photos refused")},
        "phone-full-photo": _(
            "This phone has no room left for the photo, so nothing of this note is kept yet. What was kept before is "
            "safe. Remove the photo and press again to keep the note alone, or free some space on the phone first."
        ),
        "not-kept": _(
            "The browser could not write the note to this phone ({why}). What was kept before is safe. "
            "Press the button again; if it fails again, write the note on paper."
        ),
        "sign-in-to-note": _(
            "Nobody is signed in on this phone, so the note would have no author. Sign in first."
        ),
        # The page of a group of plants.
        "kept-many": {
            "one": _("Kept on {count} plant: {what}"),
            "other": _("Kept on {count} plants: {what}"),
        },
        "undone-many": {
            "one": _("Taken back on {count} plant: {what}"),
            "other": _("Taken back on {count} plants: {what}"),
        },
        "ticked": {"one": _("{count} of {all} ticked"), "other": _("{count} of {all} ticked")},
        "tick-one": _("No plant is ticked, so nothing is kept. Tick at least one, then press again."),
        # The list of plants.
        "plants": {"one": _("{count} plant"), "other": _("{count} plants")},
        "no-plant-fits": _("No plant fits. Take a word away."),
        # The outbox page.
        "nothing-here": _("Nothing."),
        "kept-at": _("kept on this phone at {time}"),
        "withdraws": _("Takes back: {what}"),
        "now-says": _("Corrected: {what}"),
        "author-signs-in": _("waits until {name} signs in on this phone"),
        "edit": _("Edit"),
        "edit-what": _("Edit: {what}"),
        "delete": _("Delete"),
        "delete-what": _("Delete: {what}"),
        "delete-sure": _(
            "Delete this refused note from this phone? It is nowhere else in the yard's records."
        ),
        "send-again": _("Send again"),
        "send-again-what": _("Send again: {what}"),
        "sending": _("Sending."),
        "sent-now": {"one": _("{count} sent."), "other": _("{count} sent.")},
        "server-away": _(
            "The server does not answer. All notes stay on this phone and are sent when it does."
        ),
        "sign-in-first": _("Nobody is signed in here. All notes stay on this phone; sign in to send them."),
        "too-large": _("This note is too large to be sent. Edit it and shorten it."),
        "pages-kept": {
            "one": _("{count} page is kept on this phone and opens without the network."),
            "other": _("{count} pages are kept on this phone and open without the network."),
        },
        "no-worker": _(
            "This browser keeps no pages for use without the network. "
            "Open the yard at its https address in an up-to-date browser."
        ),
        # The page that stands in for one that is not kept.
        "tag-not-kept": _("The tag {code} is not among the pages kept on this phone."),
        "code-mistyped": _("{code} is not a whole tag code. Compare it with the tag."),
    }
)
