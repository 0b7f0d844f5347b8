#include "check.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/replay/reread.hpp>

#include <utility>

namespace slotwitness::pack {

namespace {

tl::expected<AnswerCheck, PackError> check_one(const KeptAnswer& answer,
                                               const profiles::Profile& profile) {
    AnswerCheck checked{answer.asking, answer.capture, 0, {}};
    if (!profiles::from_key(profile, answer.asking)) {
        checked.changes.push_back({Change::What::query,
                                   {},
                                   "",
                                   "",
                                   "",
                                   "the profile has no query \"" + answer.asking + "\""});
        return checked;
    }
    const state::Reading now =
        replay::read_answer(profile, answer.asking, answer.bytes, answer.ending);
    checked.rows = now.rows.size();
    if (journal::digest_of(now) == answer.reading_digest)
        return checked;
    auto changes = compare(answer.reading, journal::to_json(now));
    if (!changes)
        return tl::unexpected(
            PackError{PackError::Kind::damaged,
                      "readings/" + answer.reading_digest + ": " + changes.error()});
    checked.changes = std::move(*changes);
    // Only the order of the rows is left.
    if (checked.changes.empty())
        checked.changes.push_back(
            {Change::What::wording, {}, "all rows", "", "in one order", "in another"});
    return checked;
}

} // namespace

tl::expected<std::vector<AnswerCheck>, PackError> check(const Pack& pack,
                                                        const profiles::Profile& profile) {
    std::vector<AnswerCheck> all;
    for (const KeptAnswer& answer : pack.answers) {
        auto checked = check_one(answer, profile);
        if (!checked)
            return tl::unexpected(std::move(checked.error()));
        all.push_back(std::move(*checked));
    }
    return all;
}

} // namespace slotwitness::pack
