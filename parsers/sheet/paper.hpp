#pragma once

#include "markup.hpp"

#include <string>
#include <string_view>

namespace slotwitness::sheet {

/// A whole HTML document without script and external resource, to be printed on A4, in the sheet's
/// look: the more there is to read the smaller it is set, as far as it can be read at a rack.
[[nodiscard]] std::string paper(std::string_view title, const Markup& body);

/// A line to write on, or what is known already.
[[nodiscard]] Markup blank(std::string_view label, const std::string& value);

} // namespace slotwitness::sheet
