"""The same few cars are studied again and again: what is solved is kept."""

from tests.helpers.kept_studies import kept_studies as kept_studies
