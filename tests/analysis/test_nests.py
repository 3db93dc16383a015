"""Nests of series and parallels by numbers alone."""

from __future__ import annotations

import pytest

from lampwright.analysis.electrical.nests import Joint, Position, apart, closed, elements_of, network_of


def series(*parts):
    return Joint(is_series=True, parts=parts)


def side_by_side(*parts):
    return Joint(is_series=False, parts=parts)


GAP, WIRE = side_by_side(), series()


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        (7, 7),
        (series(7), 7),
        (side_by_side(series(side_by_side(7))), 7),
        (series(1, 2), series(1, 2)),
        # Series in series and parallels in parallel are one.
        (series(1, series(2, series(3)), 4), series(1, 2, 3, 4)),
        (side_by_side(1, side_by_side(2, side_by_side(3)), 4), side_by_side(1, 2, 3, 4)),
        (series(1, side_by_side(series(2, 3), 4)), series(1, side_by_side(series(2, 3), 4))),
        # So are those that only become so by what is taken out between them.
        (series(1, side_by_side(series(2, 3))), series(1, 2, 3)),
        (side_by_side(1, series(side_by_side(2, 3))), side_by_side(1, 2, 3)),
        (series(1, side_by_side(series(2, 3), series(4, GAP))), series(1, 2, 3)),
        # A gap lets nothing through, and takes all in series with it along.
        (GAP, None),
        (series(1, GAP, 2), None),
        (side_by_side(1, GAP), 1),
        (side_by_side(1, series(2, GAP), 3), side_by_side(1, 3)),
        (side_by_side(series(1, GAP), series(GAP, 2)), None),
        (series(1, side_by_side(series(2, GAP), GAP)), None),
        # A wire stays one, and adds nothing in series.
        (WIRE, WIRE),
        (series(1, WIRE, 2), series(1, 2)),
        (side_by_side(1, WIRE), side_by_side(1, WIRE)),
    ],
)
def test_closed(part, expected):
    assert closed(part) == expected
    if expected is not None:
        assert closed(expected) == expected


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        (7, (7,)),
        (series(1, 2), (series(1, 2),)),
        (side_by_side(1, series(2, 3)), (1, series(2, 3))),
        # Behind something shared, branches feel each other.
        (series(1, side_by_side(2, 3)), (series(1, side_by_side(2, 3)),)),
    ],
)
def test_apart(part, expected):
    assert apart(part) == expected


def test_elements_in_order():
    assert list(elements_of(series(3, side_by_side(series(1, 4), 5), 2))) == [3, 1, 4, 5, 2]
    assert list(elements_of(9)) == [9]


def test_a_network_has_numbers_of_its_own_and_its_joints_from_the_inside_out():
    network, before = network_of(series(30, side_by_side(series(10, 40), 50), 20))
    assert before == (30, 10, 40, 50, 20)
    assert network.size == 5
    assert network.nest == series(0, side_by_side(series(1, 2), 3), 4)
    assert network.joints == ((5, True, (1, 2)), (6, False, (5, 3)), (7, True, (0, 6, 4)))
    assert not network.is_chain


def test_a_lone_element_is_a_chain():
    network, before = network_of(12)
    assert (before, network.nest, network.joints) == ((12,), series(0), ((1, True, (0,)),))
    assert network.is_chain
    assert network_of(series(3, 4))[0].is_chain
    assert not network_of(side_by_side(3, 4))[0].is_chain


def test_what_is_on_the_way_of_an_element_and_what_is_beside_it():
    network, _ = network_of(series(0, side_by_side(series(1, side_by_side(2, 3)), series(4, 5), 6), 7))
    positions = network.positions
    assert positions[0] == positions[7] == Position((0, 7), frozenset())
    assert positions[1] == Position((0, 7, 1), frozenset({4, 5, 6}))
    # One in a parallel by itself is in series with what is outside.
    assert positions[2] == Position((0, 7, 1, 2), frozenset({3, 4, 5, 6}))
    assert positions[4] == positions[5] == Position((0, 7, 4, 5), frozenset({1, 2, 3, 6}))
    assert positions[6] == Position((0, 7, 6), frozenset({1, 2, 3, 4, 5}))
    assert set(positions) == set(range(8))
