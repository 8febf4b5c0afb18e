"""No password of a server is ever shown, wherever it stands in an address."""

from __future__ import annotations

import pytest

from specdb.store.address import masked
from specdb.store.stock.place import shown, typed


@pytest.mark.parametrize(
    "secret",
    ["secret", "se/cret", "se@cret", "se?cret", "se:cret", "se#cret", "s/e@c?r#et", "%40secret"],
)
@pytest.mark.parametrize(
    "address",
    [
        "postgresql+psycopg://north:{}@host:5432/shops",
        "postgresql+psycopg://north:{}@host/shops?shop=north",
        "postgresql+psycopg://:{}@/shops?host=/run&port=5432",
    ],
)
def test_a_password_before_the_host(address: str, secret: str) -> None:
    hidden = masked(address.format(secret))
    assert hidden == address.format("***")
    assert secret not in typed(address.format(secret))
    assert secret not in shown(address.format(secret))


@pytest.mark.parametrize("name", ["password", "sslpassword", "PASSWORD", "passfile"])
@pytest.mark.parametrize("mark", ["?", "?shop=north&"])
def test_a_password_among_the_parameters(mark: str, name: str) -> None:
    address = f"postgresql+psycopg://north@host/shops{mark}{name}=secret"
    assert masked(f"{address}&port=5432") == f"{address[:-6]}***&port=5432"


@pytest.mark.parametrize(
    "address",
    [
        "postgresql+psycopg://north@host:5432/shops?shop=north",
        "postgresql+psycopg://host:5432/shops",
        "shelf.sqlite",
        "sqlite:///a:b/shelf.sqlite",
    ],
)
def test_what_holds_no_password_stays_as_it_is(address: str) -> None:
    assert masked(address) == address
