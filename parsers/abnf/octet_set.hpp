#pragma once

#include <array>
#include <bit>
#include <compare>
#include <cstddef>
#include <cstdint>

namespace slotwitness::abnf {

/// A class of octets. As what may come next in a text it also says whether the text may end.
struct OctetSet {
    std::array<std::uint64_t, 4> words{};
    bool end = false;

    [[nodiscard]] bool has(unsigned char octet) const {
        return ((words[octet >> 6U] >> (octet & 63U)) & 1U) != 0;
    }
    void add(unsigned char octet) { words[octet >> 6U] |= std::uint64_t{1} << (octet & 63U); }
    /// Both bounds within.
    void add(unsigned char first, unsigned char last) {
        for (unsigned octet = first; octet <= last; ++octet)
            add(static_cast<unsigned char>(octet));
    }
    /// True: something is new.
    bool add(const OctetSet& other) {
        const OctetSet before = *this;
        for (std::size_t i = 0; i < words.size(); ++i)
            words[i] |= other.words[i];
        end = end || other.end;
        return *this != before;
    }
    [[nodiscard]] bool meets(const OctetSet& other) const {
        for (std::size_t i = 0; i < words.size(); ++i)
            if ((words[i] & other.words[i]) != 0)
                return true;
        return end && other.end;
    }
    /// Of octets, the end aside.
    [[nodiscard]] int size() const {
        int count = 0;
        for (const std::uint64_t word : words)
            count += std::popcount(word);
        return count;
    }
    [[nodiscard]] bool empty() const { return size() == 0; }
    friend auto operator<=>(const OctetSet&, const OctetSet&) = default;
};

} // namespace slotwitness::abnf
