"""Parts to choose from: a folder of YAML files, or one CSV file."""

from advisor.catalogue.reading import Catalogue, Entry, read_catalogue

__all__ = ["Catalogue", "Entry", "read_catalogue"]
