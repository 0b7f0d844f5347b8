#include "reread.hpp"

#include <utility>

namespace slotwitness::replay {

namespace {

using journal::StoreError;

StoreError damaged(const journal::Entry& entry, std::string_view what) {
    return {StoreError::Kind::damaged, "entry " + std::to_string(entry.sequence) + " of chassis " +
                                           entry.chassis + ": " + std::string(what)};
}

} // namespace

state::Reading read_answer(const profiles::Profile& profile, std::string_view asking_key,
                           std::string_view bytes, const witness::Ending& ending) {
    const auto asking = profiles::from_key(profile, asking_key);
    if (!asking)
        return {}; // not whole, no rows: it confirms nothing
    state::Reading reading = profiles::read(profile, *asking, bytes, ending.complete());
    reading.whole = reading.whole && ending.whole();
    return reading;
}

tl::expected<std::string, StoreError>
Rereader::fetch(const journal::Entry& entry, const std::string& digest, std::string_view what) {
    auto bytes = store_.capture(digest);
    if (!bytes)
        return tl::unexpected(std::move(bytes.error()));
    if (!*bytes)
        return tl::unexpected(
            damaged(entry, std::string(what) + " " + digest + " is not in the journal"));
    return std::move(**bytes);
}

tl::expected<void, StoreError> Rereader::take_profile(const journal::Entry& entry,
                                                      const std::string& digest) {
    if (digest == profile_digest_ && profile_)
        return {};
    auto text = fetch(entry, digest, "the profile");
    if (!text)
        return tl::unexpected(std::move(text.error()));
    auto profile = profiles::parse_profile(*text, "profile " + digest.substr(0, 12));
    if (!profile)
        return tl::unexpected(damaged(entry, "this version no longer reads the recorded profile: " +
                                                 state::to_text(profile.error().front())));
    profile_ = std::move(*profile);
    profile_digest_ = digest;
    return {};
}

tl::expected<Rereader::Reread, StoreError> Rereader::reread(const journal::Entry& entry,
                                                            journal::Decoded decoded) {
    Reread result{std::move(decoded), std::nullopt};

    if (const auto* run = std::get_if<witness::RunStarted>(&result.decoded.event.what))
        if (auto taken = take_profile(entry, run->profile); !taken)
            return tl::unexpected(std::move(taken.error()));

    if (auto* answer = std::get_if<witness::Answered>(&result.decoded.event.what)) {
        if (!profile_)
            return tl::unexpected(damaged(entry, "an answer stands before the first run.started"));
        const auto bytes = fetch(entry, answer->capture, "the answer");
        if (!bytes)
            return tl::unexpected(bytes.error());
        answer->reading = std::make_shared<const state::Reading>(
            read_answer(*profile_, answer->asking, *bytes, answer->ending));
        const std::string digest = journal::digest_of(*answer->reading);
        if (digest != result.decoded.reading_digest)
            result.difference =
                Difference{Difference::Kind::reading, entry.sequence,
                           "the answer to \"" + answer->asking + "\" was read as " +
                               result.decoded.reading_digest + " and is now read as " + digest};
    }
    return result;
}

} // namespace slotwitness::replay
