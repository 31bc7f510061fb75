"""The same few cars are studied again and again: what is solved is kept."""

from tests.helpers.kept_studies import kept_studies as kept_studies
from tests.helpers.kept_studies import solved_anew as solved_anew
