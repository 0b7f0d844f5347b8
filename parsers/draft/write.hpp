#pragma once

#include "meaning.hpp"

#include <string>

/// The draft as TOML.
namespace slotwitness::draft {

struct QueryDraft {
    std::string id;
    Shape shape;
    std::vector<CellDraft> cells;
    bool names_none = false;               ///< one block that does not name its component
    std::string none;                      ///< the whole text, if it says that there are none
    std::vector<std::string> footer_rules; ///< of [grammar], for footers that have numbers
    std::vector<std::string> pass_over;    ///< whole lines
};

[[nodiscard]] std::string write_words(const WordLists& words);
[[nodiscard]] std::string write_query(const QueryDraft& query);
/// "name = 1*DIGIT %s\" units\"": a line whose numbers may be others next time. Nothing if it has
/// no number, or something that ABNF cannot quote.
[[nodiscard]] std::string abnf_of(const std::string& line);

} // namespace slotwitness::draft
