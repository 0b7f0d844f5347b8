#include "profile.hpp"
#include "row_reader.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

namespace slotwitness::profiles {
namespace {

layouts::Leftover read_blocks(const Query& query, std::string_view answer, bool whole,
                              const layouts::TakeBlock& take) {
    if (const auto* table = std::get_if<layouts::TableSpec>(&query.layout))
        return read_table(answer, *table, whole, take);
    return read_record(answer, std::get<layouts::RecordSpec>(query.layout), whole, take);
}

} // namespace

state::Reading read(const Profile& profile, std::string_view query, std::string_view answer,
                    bool whole) {
    state::Reading reading;
    reading.whole = whole;
    const auto found = profile.queries.find(query);
    if (found == profile.queries.end()) {
        reading.unread.push_back(
            {1, std::string{answer.substr(0, layouts::longest_line)}, 1,
             "an answer to a query of the profile, which has no \"" + std::string{query} + "\""});
        return reading;
    }
    if (found->second.lists)
        reading.lists.push_back(found->second.kind);
    RowReader rows{profile, found->second, reading};
    auto left = read_blocks(found->second, answer, whole,
                            [&](const layouts::Block& block) { rows.read(block); });
    std::move(left.unread.begin(), left.unread.end(), std::back_inserter(reading.unread));
    std::stable_sort(reading.unread.begin(), reading.unread.end(),
                     [](const auto& a, const auto& b) { return a.line < b.line; });
    return reading;
}

} // namespace slotwitness::profiles
