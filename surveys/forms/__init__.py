"""Forms of surveys: they validate, they never save."""

from surveys.forms.survey import FromPaper, LabelPutOn, Signature, Start, Survey

__all__ = ["FromPaper", "LabelPutOn", "Signature", "Start", "Survey"]
