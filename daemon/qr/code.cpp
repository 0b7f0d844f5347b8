#include "code.hpp"

#include <memory>
#include <qrencode.h>

namespace slotwitness::qr {

bool Code::dark(std::size_t column, std::size_t row) const {
    // What stands before the quiet zone's end wraps to beyond the symbol.
    const std::size_t x = column - quiet_zone, y = row - quiet_zone;
    return x < side_ && y < side_ && dark_[y * side_ + x];
}

std::optional<Code> encode(std::string_view text) {
    if (text.empty() || text.find('\0') != std::string_view::npos)
        return std::nullopt;
    constexpr int smallest = 0;       // the library takes the smallest symbol that holds the text
    constexpr int letters_differ = 1; // "a" is not "A"
    const std::unique_ptr<QRcode, decltype(&QRcode_free)> symbol(
        QRcode_encodeString(std::string(text).c_str(), smallest, QR_ECLEVEL_M, QR_MODE_8,
                            letters_differ),
        QRcode_free);
    if (!symbol)
        return std::nullopt;
    constexpr unsigned char dark_bit = 1;
    Code code;
    code.side_ = static_cast<std::size_t>(symbol->width);
    for (std::size_t at = 0; at < code.side_ * code.side_; ++at)
        code.dark_.push_back((symbol->data[at] & dark_bit) != 0);
    return code;
}

std::string on_terminal(const Code& code) {
    // Black and white of the fixed colours, which no theme changes.
    constexpr std::string_view dark_on_light = "\x1b[38;5;16;48;5;231m", own_colours = "\x1b[0m";
    std::string text;
    for (std::size_t row = 0; row < code.side(); row += 2) {
        text += dark_on_light;
        for (std::size_t column = 0; column < code.side(); ++column) {
            const bool upper = code.dark(column, row), lower = code.dark(column, row + 1);
            text += upper && lower ? "█" : upper ? "▀" : lower ? "▄" : " ";
        }
        text += own_colours;
        text += '\n';
    }
    return text;
}

std::string as_path(const Code& code) {
    std::string path;
    for (std::size_t row = 0; row < code.side(); ++row)
        for (std::size_t column = 0; column < code.side(); ++column) {
            std::size_t run = 0;
            while (code.dark(column + run, row))
                ++run;
            if (run == 0)
                continue;
            path += 'M' + std::to_string(column) + ' ' + std::to_string(row) + 'h' +
                    std::to_string(run) + "v1h-" + std::to_string(run) + 'z';
            column += run;
        }
    return path;
}

} // namespace slotwitness::qr
