#include "serial.hpp"

#include <cctype>

namespace slotwitness::witness {

std::string bare_serial(std::string_view text) {
    std::string out;
    for (const char byte : text)
        if (std::isalnum(static_cast<unsigned char>(byte)))
            out += static_cast<char>(std::toupper(static_cast<unsigned char>(byte)));
    return out;
}

bool same_serial(std::string_view left, std::string_view right) {
    const std::string bare = bare_serial(left);
    return !bare.empty() && bare == bare_serial(right);
}

} // namespace slotwitness::witness
