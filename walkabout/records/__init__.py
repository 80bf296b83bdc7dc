"""Tables, queries, schema steps. The only folder that imports Peewee; it gives out plain dataclasses."""
