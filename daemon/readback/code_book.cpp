#include "code_book.hpp"

#include <algorithm>
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
    template <class Sequence>
    [[nodiscard]] Sequence shuffled(Sequence all) {
        for (std::size_t left = all.size(); left > 1; --left)
            std::swap(all[left - 1], all[below(left)]);
        return all;
    }

  private:
    std::uint64_t state_ = 0xcbf29ce484222325;
};

bool is_mixed(std::string_view code) {
    return code.find_first_of(letters) != std::string_view::npos &&
           code.find_first_of(digits) != std::string_view::npos;
}

/// The first `count` codes, so ordered that the first `two_apart` of all are two apart.
std::vector<std::string> first_codes(std::size_t count, Draw& draw) {
    const std::string characters = std::string(letters) + std::string(digits);
    const std::size_t side = characters.size();
    const std::string first = draw.shuffled(characters);
    const std::string second = draw.shuffled(characters);
    const std::string third = draw.shuffled(characters);
    std::vector<std::string> codes;
    for (std::size_t square = 0; codes.size() < count; ++square) {
        std::vector<std::string> of_square;
        for (std::size_t a = 0; a < side; ++a)
            for (std::size_t b = 0; b < side; ++b) {
                std::string code{first[a], second[b], third[(a + b + square) % side]};
                if (is_mixed(code))
                    of_square.push_back(std::move(code));
            }
        for (std::string& code : draw.shuffled(std::move(of_square)))
            codes.push_back(std::move(code));
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
