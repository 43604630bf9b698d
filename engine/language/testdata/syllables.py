"""Counts the syllables of French words with espeak-ng, for syllables.csv.

    python3 syllables.py < words.txt > syllables.csv

Reads one word a line. Needs the program espeak-ng; the committed file is from
version 1.51. It writes the words in the International Phonetic Alphabet, of
which each vowel is one syllable. espeak-ng has one sign, y, for the vowel of
"lune" and the glide of "nuit"; before another vowel it is taken for the glide,
as dictionaries have it.
"""

import re
import subprocess
import sys
import unicodedata

VOWELS = "aɑeɛioɔuyøœə"

words = [line.strip() for line in sys.stdin if line.strip()]
print("# word,syllables as espeak-ng speaks it, see syllables.py")
for start in range(0, len(words), 500):
    part = words[start : start + 500]
    text = "\n\n".join(word + "." for word in part) + "\n"
    said = subprocess.run(
        ["espeak-ng", "-v", "fr", "-q", "--ipa", "--stdin"], input=text, text=True, capture_output=True, check=True
    ).stdout
    lines = [line.strip() for line in said.split("\n") if line.strip()]
    assert len(lines) == len(part), (len(lines), len(part))
    for word, line in zip(part, lines):
        bare = re.sub("[ˈˌ]", "", unicodedata.normalize("NFD", line))
        bare = re.sub(f"y(?=[{VOWELS}])", "ɥ", bare)
        print(f"{word},{sum(c in VOWELS for c in bare)}")
