#pragma once

#include "profile.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <optional>
#include <string_view>
#include <vector>

namespace slotwitness::profiles {

/// A word list as rows need it: lists are short, so that looked at one by one their words are found
/// sooner than in the map.
class ShortList {
  public:
    explicit ShortList(const WordList& words);

    /// Null if the list has no such word. `text` is not empty.
    [[nodiscard]] const std::vector<Meant>* find(std::string_view text) const {
        const std::uint64_t ends = ends_of(text);
        for (const Entry& entry : entries_)
            if (entry.ends == ends && entry.text.size() == text.size() &&
                (text.size() <= sizeof ends || entry.text == text))
                return entry.meant;
        return nullptr;
    }

  private:
    struct Entry {
        std::uint64_t ends = 0; ///< see ends_of
        std::string_view text;
        const std::vector<Meant>* meant = nullptr;
    };
    /// Bytes that tell words of one size apart, all words of up to eight bytes: four at the
    /// beginning, and four more as far on as there are so many.
    [[nodiscard]] static std::uint64_t ends_of(std::string_view text) {
        const auto four_at = [&](std::size_t at) {
            std::uint32_t bytes = 0;
            std::memcpy(&bytes, text.data() + at, sizeof bytes);
            return std::uint64_t{bytes};
        };
        if (text.size() >= 4)
            return four_at(0) | four_at(std::min<std::size_t>(text.size() - 4, 4)) << 32U;
        const auto byte_at = [&](std::size_t at) {
            return std::uint64_t{static_cast<unsigned char>(text[at])};
        };
        return byte_at(0) | byte_at(text.size() / 2) << 8U | byte_at(text.size() - 1) << 16U;
    }

    std::vector<Entry> entries_;
};

/// A cell of a query, and what of its meaning each row needs.
struct KnownCell {
    std::string_view label;
    const Meaning* meaning = nullptr;
    Meaning::As as = Meaning::As::ignored; ///< of the meaning
    bool is_plain = true;                  ///< see is_said_plainly
    std::optional<units::Unit> unit;       ///< see unit_of
    const WordList* list = nullptr;        ///< for words
    std::optional<ShortList> words;        ///< those of the list
    std::size_t row = 0;                   ///< the last row that had it, from 1
};

/// The cells of a query, found by their labels. Only the .cpp files of this room include it.
class KnownCells {
  public:
    KnownCells(const Profile& profile, const Query& query);

    /// The cell of a row at `place`, null if the query has none of this label. Rows of a table have
    /// their cells in one order: what stood there last time is looked at first.
    [[nodiscard]] KnownCell* find(std::string_view label, std::size_t place) {
        // The same bytes in the same place: nothing is left to compare.
        if (place < count_ && cells_[place].label.data() == label.data() &&
            cells_[place].label.size() == label.size())
            return &cells_[place];
        return search(label, place);
    }
    [[nodiscard]] const std::vector<KnownCell>& all() const { return cells_; }

  private:
    [[nodiscard]] KnownCell* search(std::string_view label, std::size_t place);

    std::vector<KnownCell> cells_;
    std::size_t count_ = 0; ///< of `cells_`
};

} // namespace slotwitness::profiles
