"""A model that is imported when a file needs it: making the many keys of a map takes long, and few files have some of the maps."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from pydantic import BaseModel
from pydantic_core import CoreSchema, core_schema


class LateModel:
    """Marks a field of a model whose value is None or of another model, which is named and imported at the first value.

    >>> LateModel("methodpick.ground.rates:Rates").model.__name__
    'Rates'
    """

    def __init__(self, place: str) -> None:
        """Take the module and the class, with a colon between them."""
        self.place = place

    @property
    def model(self) -> type[BaseModel]:
        """Return the model."""
        module, _, name = self.place.partition(":")
        found: type[BaseModel] = getattr(import_module(module), name)
        return found

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> CoreSchema:
        """Return how pydantic checks a value of the field; what the model finds wrong in it is told as by a field of the model."""
        del source, handler
        return core_schema.no_info_plain_validator_function(self._checked)

    def _checked(self, value: Any) -> BaseModel | None:
        return None if value is None else self.model.model_validate(value)
