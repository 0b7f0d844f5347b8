#pragma once

#include <algorithm>
#include <cstddef>
#include <random>
#include <string>
#include <utility>
#include <vector>

namespace slotwitness::fuzz {

/// Inputs made of those of a corpus by a few small changes each, as fuzzers make them, but blindly:
/// what a test can do in its time. The same corpus gives the same ones.
class Mutants {
  public:
    explicit Mutants(const std::vector<std::string>& corpus) : corpus_(corpus) {}

    [[nodiscard]] std::string next() {
        std::string bytes = corpus_[below(corpus_.size())];
        for (std::size_t changes = 1 + below(6); changes > 0; --changes)
            change(bytes);
        return bytes.substr(0, largest);
    }

  private:
    static constexpr std::size_t largest = 16 * 1024; ///< bytes

    std::size_t below(std::size_t bound) { return bound == 0 ? 0 : chance_() % bound; }

    /// A stretch of the text, seldom a long one.
    std::pair<std::size_t, std::size_t> stretch(const std::string& bytes) {
        const std::size_t begin = below(bytes.size());
        return {begin, std::min(bytes.size() - begin, 1 + below(below(8) == 0 ? 200 : 8))};
    }

    void change(std::string& bytes) {
        const std::string& other = corpus_[below(corpus_.size())];
        if (bytes.empty()) {
            bytes = other;
            return;
        }
        const auto [begin, size] = stretch(bytes);
        switch (below(7)) {
        case 0: // one bit
            bytes[begin] = static_cast<char>(bytes[begin] ^ (1U << below(8)));
            return;
        case 1: // any byte
            bytes[begin] = static_cast<char>(below(256));
            return;
        case 2: // a byte of the corpus' own
            bytes.insert(begin, 1, other.empty() ? ' ' : other[below(other.size())]);
            return;
        case 3:
            bytes.erase(begin, size);
            return;
        case 4: { // said twice, elsewhere
            const std::string part = bytes.substr(begin, size);
            bytes.insert(below(bytes.size()), part);
            return;
        }
        case 5: { // a part of another
            if (other.empty())
                return;
            const auto [from, length] = stretch(other);
            bytes.replace(begin, size, other, from, length);
            return;
        }
        default: // cut short
            bytes.resize(begin);
        }
    }

    const std::vector<std::string>& corpus_;
    std::mt19937 chance_{20'251'126}; // NOLINT(bugprone-random-generator-seed): the same each time
};

} // namespace slotwitness::fuzz
