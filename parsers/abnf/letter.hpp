#pragma once

namespace slotwitness::abnf {

/// RFC 5234, appendix B.1: ALPHA. Only of letters do strings disregard the case (section 2.3).
[[nodiscard]] constexpr bool is_letter(char octet) {
    return (octet >= 'A' && octet <= 'Z') || (octet >= 'a' && octet <= 'z');
}

} // namespace slotwitness::abnf
