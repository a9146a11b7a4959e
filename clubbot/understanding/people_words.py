"""The words by which people who come are spoken of: the phrases of all lexicons by their role, found in one pass over the words of a text.

Languages are read together, since a text may mix them and a name or a number is read without knowing which language it stands in.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from clubbot.understanding.lexicon import Lexicon

Phrase = tuple[str, ...]
# How many words from a place on, or up to it, are a phrase of each role.
Sizes = Mapping[str, int]
# The word for one of kin, and who may be meant by another word for the same.
Kin = tuple[str, str]

# The roles of phrases in the table [people] of a lexicon, by what they tell.
_WHO = "sender me subject subject_after_comma us alone not_alone pair both both_before both_after everybody nobody pronouns unowned twos grown heads others many"
_BESIDE = "my own kind_of joins join_on and plus not_plus beside beside_after not_beside goes_there whole_list comes_too too adds more one_more the_others"
_AWAY = "fewer leaves_out not_fewer out out_lead not_out come_verbs not_come_verbs aux perhaps unsure unsaid not_unsaid weak_verbs comes short_yes nobody_verbs instead relative ends_clause not is are"
_PLACES = (
    "my_place places_of_mine gives takes gives_to to_place for_me instead_alone own_s seats the_seats left_over with"
)
_NUMBERS = "halves was was_alone of_them total_before weak_before weak_lead weak_but_in_words changes fillers total_after bare_before bare_after refuses from to for not_for_all us_before times one bare_one one_of one_for in_alone signs_in signs_up the no_day_lead"
_NO_PEOPLE = (
    "counts_before counts_after ages age_tails years_and aged age_lead age_is in_law clocks days introduces no_names"
)
ROLES = frozenset(" ".join((_WHO, _BESIDE, _AWAY, _PLACES, _NUMBERS, _NO_PEOPLE)).split())
_NOTHING: Sizes = {}
# Places behind the last word, and by negative numbers before the first, where nothing stands: so far is looked around a word.
BEYOND = 32


@dataclass(frozen=True, slots=True)
class PeopleWords:
    """All of it. `kin` tells one of kin by the word, `kins` by a plural, `kin_first` are the words that the former begin with; `known` are all single words, which are nobody's name; `collectives` are "a dozen", `halves` what makes half of it."""

    phrases: Mapping[str, Sequence[tuple[Phrase, Sizes]]]
    numbers: Mapping[str, int]
    kin: Mapping[Phrase, Kin]
    kins: Mapping[str, Kin]
    kin_first: frozenset[str]
    known: frozenset[str]
    plural_endings: tuple[str, ...]
    collectives: frozenset[str]
    halves: tuple[Phrase, ...]

    def sizes(self, forms: Sequence[str]) -> tuple[list[Sizes], list[Sizes]]:
        """What begins at each word and what ends before it, of one role the longest; nothing at the places behind them."""
        begins, ends = [_NOTHING] * (len(forms) + BEYOND), [_NOTHING] * (len(forms) + BEYOND)
        for at, form in enumerate(forms):
            for phrase, sizes in self.phrases.get(form, ()):
                end = at + len(phrase)
                if end > at + 1 and tuple(forms[at:end]) != phrase:
                    continue
                # The longest come first, from the same word on and by the order of the words.
                begins[at] = {**sizes, **begins[at]} if begins[at] else sizes
                ends[end] = {**sizes, **ends[end]} if ends[end] else sizes
        return begins, ends

    def akin(self, word: str) -> str:
        """Who may be meant by another word for the same: "hubby" and "conjoint" are partners."""
        return self.kin.get(tuple(word.split()), ("", word))[1]


def people_words(lexicons: Iterable[Lexicon]) -> PeopleWords:
    """The words of these lexicons together."""
    all_of_them = tuple(lexicons)
    kin = {
        tuple(word.split()): (word, kind) for one in all_of_them for kind, words in one.kin.items() for word in words
    }
    roles: dict[Phrase, set[str]] = {}
    for one in all_of_them:
        for role, phrase in _phrases(one):
            roles.setdefault(phrase, set()).add(role)
    phrases: dict[str, list[tuple[Phrase, Sizes]]] = {}
    for phrase in sorted(roles, key=len, reverse=True):
        phrases.setdefault(phrase[0], []).append((phrase, dict.fromkeys(roles[phrase], len(phrase))))
    return PeopleWords(
        phrases=phrases,
        numbers={
            word: number for one in all_of_them for word, number in (*one.numbers.items(), *one.collectives.items())
        },
        kin=kin,
        kins=dict(_plurals(all_of_them, kin)),
        kin_first=frozenset(word for word, *_ in kin),
        known=frozenset(word for one in all_of_them for word in _known(one)),
        plural_endings=tuple({ending for one in all_of_them for ending in one.plural_endings}),
        collectives=frozenset(word for one in all_of_them for word in one.collectives),
        halves=tuple(phrase for phrase, told in roles.items() if "halves" in told),
    )


def _phrases(lexicon: Lexicon) -> Iterator[tuple[str, Phrase]]:
    """Each phrase with its role; weekdays and months are no names either, those that are other words too aside."""
    for role, phrases in lexicon.people.items():
        yield from ((role, tuple(phrase.split())) for phrase in phrases)
    for day in lexicon.weekdays:
        told = lexicon.unsure.get(day)
        if told is None or not (told.only_before or told.only_after):
            yield "days", (day,)
    yield from (("months", (month,)) for month in lexicon.months)


def _plurals(lexicons: Sequence[Lexicon], kin: Mapping[Phrase, Kin]) -> Iterator[tuple[str, Kin]]:
    for lexicon in lexicons:
        for words in lexicon.kin.values():
            for word in words:
                if " " not in word and not word.endswith(tuple(lexicon.plural_endings)):
                    yield from ((f"{word}{ending}", kin[word,]) for ending in lexicon.plural_endings)
        for plural, single in lexicon.plurals.items():
            yield plural, kin.get((single,), (single, "friend"))


def _known(lexicon: Lexicon) -> Iterator[str]:
    for _, phrase in _phrases(lexicon):
        yield from phrase
    yield from (word for words in lexicon.kin.values() for one in words for word in one.split())
    yield from lexicon.plurals
    yield from lexicon.numbers
    yield from lexicon.collectives
    yield from lexicon.anywhere
