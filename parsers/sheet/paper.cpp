#include "paper.hpp"

#include "parts.hpp"

#include <algorithm>
#include <cmath>

namespace slotwitness::sheet {
namespace {

/// In tenths of a point. The more there is to read the smaller it is set, so that it stays one
/// page; but what is too small to read at a rack had better stand on two.
unsigned letter_size(const Markup& body) {
    constexpr double area = 300'000; ///< of a page, in letters of one point: as the sheets came out
    const double points = std::sqrt(area / static_cast<double>(body.letters()));
    return static_cast<unsigned>(std::clamp(points, 5.6, 9.5) * 10);
}

} // namespace

std::string paper(std::string_view title, const Markup& body) {
    const std::string points = units::Decimal::of(letter_size(body), -1)->to_text();
    const Markup page =
        Markup::ours("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">") +
        element("title", "", title) + style() + Markup::ours("</head>\n<body style=\"font-size:") +
        text(points) + Markup::ours("pt\">\n") + body + Markup::ours("</body></html>\n");
    return page.html();
}

Markup blank(std::string_view label, const std::string& value) {
    return element("div", "field",
                   element("span", "", label) + element("b", value.empty() ? "line" : "", value));
}

} // namespace slotwitness::sheet
