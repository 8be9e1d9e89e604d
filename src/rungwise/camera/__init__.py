"""What a photo says: words on a plate or a label as fields, a wire's color, a printed code."""

from rungwise.camera.codes import codes_available, codes_in
from rungwise.camera.pictures import strip_of
from rungwise.camera.plate_words import read_part, read_plate
from rungwise.camera.read_field import ReadField, Sureness
from rungwise.camera.text_reader import text_available, words_in
from rungwise.camera.wire_color import ColorGuess, color_at
from rungwise.camera.words import Word
