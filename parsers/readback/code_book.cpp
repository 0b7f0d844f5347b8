#include "code_book.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <stdexcept>
#include <utility>

namespace slotwitness::readback {
namespace {

/// Numbers that depend on a text alone: FNV-1a into splitmix64. Nobody gains by a forged code, so
/// it need not be a cipher; it must only be the same on every machine.
class Draw {
  public:
    explicit Draw(std::string_view seed) {
        for (const char byte : seed) {
            state_ ^= static_cast<unsigned char>(byte);
            state_ *= 0x100000001b3;
        }
    }
    /// Below `limit`. That some come a little more often matters to nobody.
    [[nodiscard]] std::size_t below(std::size_t limit) {
        state_ += 0x9e3779b97f4a7c15;
        std::uint64_t mixed = state_;
        mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9;
        mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111eb;
        return static_cast<std::size_t>((mixed ^ (mixed >> 31)) % limit);
    }
    /// Brings some of all to the front, in an order of their own.
    template <class Sequence>
    void deal(Sequence& all, std::size_t some) {
        for (std::size_t i = 0; i < some; ++i)
            std::swap(all[i], all[i + below(all.size() - i)]);
    }
    [[nodiscard]] std::string shuffled(std::string all) {
        deal(all, all.size());
        return all;
    }

  private:
    std::uint64_t state_ = 0xcbf29ce484222325;
};

constexpr bool is_letter(char character) {
    return character > '9';
}

/// The first `count` codes, so ordered that the first `two_apart` of all are two apart.
std::vector<std::string> first_codes(std::size_t count, Draw& draw) {
    const std::string characters = std::string(letters) + std::string(digits);
    const std::size_t side = characters.size();
    const std::string first = draw.shuffled(characters);
    const std::string second = draw.shuffled(characters);
    const std::string third = draw.shuffled(characters);
    std::vector<std::string> codes;
    codes.reserve(count);
    std::vector<std::array<char, length>> square;
    square.reserve(side * side);
    for (std::size_t shift = 0; codes.size() < count; ++shift) {
        square.clear();
        for (std::size_t a = 0; a < side; ++a)
            for (std::size_t b = 0; b < side; ++b) {
                const std::array code{first[a], second[b], third[(a + b + shift) % side]};
                const bool begins = is_letter(code[0]);
                if (begins != is_letter(code[1]) || begins != is_letter(code[2]))
                    square.push_back(code);
            }
        const std::size_t taken = std::min(square.size(), count - codes.size());
        draw.deal(square, taken);
        for (std::size_t i = 0; i < taken; ++i)
            codes.emplace_back(square[i].begin(), square[i].end());
    }
    return codes;
}

} // namespace

CodeBook::CodeBook(std::string_view of, const std::vector<std::string>& decisions) {
    if (decisions.size() > most_decisions)
        throw std::length_error("there are not so many codes");
    Draw draw(of);
    std::vector<std::string> codes = first_codes(decisions.size(), draw);
    for (std::size_t i = 0; i < decisions.size(); ++i)
        codes_.emplace(decisions[i], std::move(codes[i]));
}

std::string CodeBook::code(std::string_view decision) const {
    const auto found = codes_.find(decision);
    return found == codes_.end() ? "" : found->second;
}

std::string CodeBook::decision(std::string_view code) const {
    const auto found = std::find_if(codes_.begin(), codes_.end(),
                                    [&](const auto& each) { return each.second == code; });
    return found == codes_.end() ? "" : found->first;
}

} // namespace slotwitness::readback
