"""Texts are escaped once, HTML never."""

from pneusim.show.markup import Html, html, image, listing, tag


def test_a_text_is_escaped_once_however_deep_it_stands():
    inner = tag("b", "a < 'b'")
    assert inner == "<b>a &lt; &#x27;b&#x27;</b>"
    assert tag("p", tag("i", inner), " & c") == "<p><i><b>a &lt; &#x27;b&#x27;</b></i> &amp; c</p>"
    assert html("<", Html("<br>")) == "&lt;<br>"


def test_no_attribute_ends_before_its_end():
    assert tag("a", href="x' onclick='y", class_="k", aria_label="<z>") == (
        "<a href='x&#x27; onclick=&#x27;y' class='k' aria-label='&lt;z&gt;'></a>"
    )
    assert image(b"", 'a "b"').startswith('<img alt="a &quot;b&quot;" src="data:image/png;base64,')


def test_without_items_there_is_no_list():
    assert (listing([]), listing(["<"])) == ("", "<ul><li>&lt;</li></ul>")
