#pragma once

#include <slotwitness/state/problem.hpp>

#include <nlohmann/json_fwd.hpp>
#include <tl/expected.hpp>

#include <string>
#include <string_view>
#include <vector>

/// What two readings of one answer disagree about.
namespace slotwitness::pack {

struct Change {
    enum class What {
        row_new,
        row_gone,
        fact,       ///< another value, or from another place; empty: not told at all
        unread_new, ///< `to`: what is expected there
        unread_gone,
        remark_new,
        remark_gone,
        whole,
        lists,   ///< kinds of which the answer names every one
        wording, ///< the text of a row, or what is expected at an unread line
        query,   ///< the profile has no such query any more
    };
    What what = What::fact;
    state::Position at;    ///< in the answer; 0 where it has none
    std::string component; ///< "module FAB3"
    std::string attribute;
    std::string from; ///< as it was read when captured
    std::string to;   ///< as it is read now
    friend bool operator==(const Change&, const Change&) = default;
};
/// "row.new", "row.gone", "fact", "unread.new", …
[[nodiscard]] std::string_view to_word(Change::What what);
/// "module FAB3: oper was enabled, is now unknown"
[[nodiscard]] std::string to_text(const Change& change);

/// Both as journal::to_json writes readings, in the order of the text. The error says that one of
/// them is no reading.
[[nodiscard]] tl::expected<std::vector<Change>, std::string> compare(const nlohmann::json& then,
                                                                     const nlohmann::json& now);

} // namespace slotwitness::pack
