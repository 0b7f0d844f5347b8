#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// QR codes (ISO/IEC 18004) of addresses, for the camera of a phone.
namespace slotwitness::qr {

/// Light modules around the symbol: without them cameras do not find it (ISO/IEC 18004, 4 for QR
/// Code).
inline constexpr std::size_t quiet_zone = 4;

class Code {
  public:
    /// Modules along an edge, with the quiet zone.
    [[nodiscard]] std::size_t side() const { return side_ + 2 * quiet_zone; }
    /// Whether the module is dark, of column and row from 0, with the quiet zone; light beyond.
    [[nodiscard]] bool dark(std::size_t column, std::size_t row) const;

  private:
    friend std::optional<Code> encode(std::string_view text);
    std::size_t side_ = 0;
    std::vector<bool> dark_; ///< row by row, without the quiet zone
};

/// Error correction level M: 15 % of the symbol may be unreadable. Nothing for an empty text, one
/// with a NUL, or one that is too long for any symbol (2331 bytes).
[[nodiscard]] std::optional<Code> encode(std::string_view text);

/// Lines of text, two modules high and one wide a character, each ended by LF. Colours are set to
/// dark on light, whatever the terminal's own are.
[[nodiscard]] std::string on_terminal(const Code& code);

/// The dark modules as the data of an SVG path, a module a unit, the quiet zone included.
[[nodiscard]] std::string as_path(const Code& code);

} // namespace slotwitness::qr
