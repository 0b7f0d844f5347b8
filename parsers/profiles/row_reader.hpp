#pragma once

#include "composed_names.hpp"
#include "known_cells.hpp"
#include "open_facts.hpp"
#include "profile.hpp"

#include <string>
#include <string_view>

namespace slotwitness::profiles {

/// Turns the blocks of one answer into rows of a reading, or tells why one has none. Only the .cpp
/// files of this room include it.
class RowReader {
  public:
    /// `answer_size`: bytes that the blocks are read from.
    RowReader(const Profile& profile, const Query& query, std::size_t answer_size,
              state::Reading& reading)
        : profile_(profile), query_(query), answer_size_(answer_size), reading_(reading),
          cells_(profile, query), composing_(composing_of(query)) {}

    void read(const layouts::Block& block);
    /// Those of the rows so far whose names no line shows whole.
    [[nodiscard]] const std::vector<ComposedName>& composed() const { return composed_; }

  private:
    /// Of what names are made, where no line may show them whole.
    enum class Composing { no, of_cells, of_lines };
    [[nodiscard]] static Composing composing_of(const Query& query);
    void note_part(const layouts::Cell& cell, std::string_view text);
    void end_name();
    state::Row& add_row(const layouts::Block& block);
    inline void read_cell(const layouts::Cell& cell, const KnownCell& known); ///< once a cell
    void read_name(const layouts::Cell& cell, std::string_view text);
    void read_word(const layouts::Cell& cell, const KnownCell& known, std::string_view text);
    void read_text(const layouts::Cell& cell, const KnownCell& known, std::string_view text);
    void read_names(const layouts::Cell& cell, const KnownCell& known, std::string_view text);
    void read_quantity(const layouts::Cell& cell, const KnownCell& known, std::string_view text);
    void read_empty(const layouts::Cell& cell, const KnownCell& known);
    void read_missing(const layouts::Block& block, const KnownCell& known);
    void add_stated(state::Position at);
    void unknown(const Meaning& meaning, state::Position at, const std::string& why);
    void refuse(const layouts::Block& block);

    const Profile& profile_;
    const Query& query_;
    std::size_t answer_size_;
    state::Reading& reading_;
    KnownCells cells_;
    std::size_t number_ = 0;    ///< of this row, from 1
    state::Row* row_ = nullptr; ///< the last of the reading, while it is read
    OpenFacts facts_;           ///< of that row
    std::size_t text_size_ = 0; ///< of all rows so far, with their line ends
    state::Position name_at_;   ///< of the last name cell
    bool nameless_ = false;     ///< a name cell is empty or missing
    Composing composing_;
    std::vector<std::string> parts_; ///< of the row's name, in its own lines
    std::vector<ComposedName> composed_;
};

} // namespace slotwitness::profiles
