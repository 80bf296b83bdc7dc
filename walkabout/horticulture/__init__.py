"""Pure orchard arithmetic: plain values in and out; no clock, no database, no network, no settings."""
