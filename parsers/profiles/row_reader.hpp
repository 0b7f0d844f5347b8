#pragma once

#include "open_facts.hpp"
#include "profile.hpp"

#include <optional>
#include <string_view>
#include <utility>
#include <vector>

namespace slotwitness::profiles {

/// Turns the blocks of one answer into rows of a reading, or tells why one has none. Only the .cpp
/// files of this room include it.
class RowReader {
  public:
    /// `answer_size`: bytes that the blocks are read from.
    RowReader(const Profile& profile, const Query& query, std::size_t answer_size,
              state::Reading& reading);

    void read(const layouts::Block& block);

  private:
    struct Word {
        std::string_view text;
        const std::vector<Meant>* meant = nullptr;
    };
    /// A cell of the query, and what of its meaning each row needs.
    struct Known {
        std::string_view label;
        const Meaning* meaning = nullptr;
        bool is_plain = true;            ///< see is_said_plainly
        std::optional<units::Unit> unit; ///< see unit_of
        const WordList* list = nullptr;  ///< for words
        std::vector<Word> words;         ///< those of the list
        std::size_t block = 0;           ///< the last block that had it, from 1
    };
    [[nodiscard]] Known* known_at(std::size_t place, std::string_view label);
    [[nodiscard]] Known* find(std::string_view label, std::size_t place);
    void read_name(const layouts::Cell& cell, std::string_view text);
    void read_cell(const layouts::Cell& cell, const Known& known);
    void read_word(const layouts::Cell& cell, const Known& known, std::string_view text);
    void read_quantity(const layouts::Cell& cell, const Known& known, std::string_view text);
    state::Row& add_row(const layouts::Block& block);
    void add_stated(state::Position at);
    void read_missing(const layouts::Block& block, const Known& known);
    void unknown_for_empty(const layouts::Cell& cell, const Meaning& meaning);
    void unknown_for(const layouts::Cell& cell, const Meaning& meaning, std::string_view text,
                     std::string_view why);
    void unknown(const Meaning& meaning, state::Position at, const std::string& why);
    template <class Said>
    void add(state::Attribute attribute, Said&& said, state::Position at);
    void add_again(state::Attribute attribute, state::Fact& before, const state::Value& value,
                   state::Position at);
    void refuse(const layouts::Block& block);

    const Profile& profile_;
    const Query& query_;
    std::size_t answer_size_;
    state::Reading& reading_;
    std::vector<Known> known_;           ///< the cells of the query
    std::size_t block_ = 0;              ///< the number of this block, from 1
    state::Row* row_ = nullptr;          ///< the last of the reading, while it is read
    OpenFacts facts_;                    ///< of that row
    std::size_t text_size_ = 0;          ///< of all rows so far, with their line ends
    state::Position name_at_;            ///< of the last name cell
    bool nameless_ = false;              ///< a name cell is empty or missing
    std::vector<state::Remark> remarks_; ///< kept only with the row
};

} // namespace slotwitness::profiles
