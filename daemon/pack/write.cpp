#include "durable.hpp"
#include "pack.hpp"

#include <slotwitness/journal/chain.hpp>
#include <slotwitness/journal/codec.hpp>

#include <system_error>
#include <unistd.h>

namespace slotwitness::pack {

namespace {

namespace fs = std::filesystem;
using Done = tl::expected<void, PackError>;

/// The lines of `events`, each with its line feed, and where their chain ends.
std::string chained(const Contents& contents, journal::Head& head) {
    std::string lines;
    for (const witness::Event& event : contents.events) {
        const journal::Entry entry =
            journal::next_entry(contents.chassis, head, journal::to_body(event, {}));
        head = {entry.sequence, entry.hash};
        lines += entry.line + "\n";
    }
    return lines;
}

std::string describe(const Contents& contents, const journal::Head& head) {
    const units::Instant captured =
        contents.events.empty() ? units::Instant{} : contents.events.back().at;
    const nlohmann::json told = {{"format", format},
                                 {"chassis", contents.chassis},
                                 {"family", contents.family},
                                 {"captured", units::to_rfc3339(captured)},
                                 {"events", std::to_string(head.sequence)},
                                 {"head", head.hash}};
    return told.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

std::map<std::string, std::string> readings_of(const Contents& contents) {
    std::map<std::string, std::string> readings;
    for (const witness::Event& event : contents.events)
        if (const auto* answer = std::get_if<witness::Answered>(&event.what); answer) {
            std::string text = journal::canonical(*answer->reading);
            readings.emplace(journal::digest_of(text), std::move(text));
        }
    return readings;
}

Done make_folder(const fs::path& folder) {
    std::error_code error;
    if (fs::create_directory(folder, error))
        return {};
    return tl::unexpected(
        PackError{PackError::Kind::disk, "cannot make the folder " + folder.string() + ": " +
                                             (error ? error.message() : "it exists")});
}

Done write_folder(const fs::path& folder, const std::map<std::string, std::string>& files) {
    Done done = make_folder(folder);
    for (auto file = files.begin(); done && file != files.end(); ++file)
        done = write_file(folder / file->first, file->second);
    return done ? sync_folder(folder) : done;
}

Done write_all(const fs::path& folder, const Contents& contents) {
    journal::Head head;
    std::map<std::string, std::string> files{{"events", chained(contents, head)},
                                             {"profile.toml", contents.profile}};
    files.emplace("pack.json", describe(contents, head));
    Done done = write_folder(folder, files);
    if (done)
        done = write_folder(folder / "answers", contents.answers);
    if (done)
        done = write_folder(folder / "readings", readings_of(contents));
    return done ? sync_folder(folder) : done;
}

/// "here/x/" names the same folder as "here/x".
fs::path without_slash(const fs::path& folder) {
    return folder.has_filename() ? folder : folder.parent_path();
}

} // namespace

Done may_write(const fs::path& folder) {
    const fs::path place = without_slash(folder);
    std::error_code error;
    const fs::file_status status = fs::symlink_status(place, error);
    const bool is_free = status.type() == fs::file_type::not_found ||
                         (fs::is_directory(status) && fs::is_empty(place, error) && !error);
    if (!is_free)
        return tl::unexpected(
            PackError{PackError::Kind::refused, place.string() +
                                                    " exists and is not an empty folder; name "
                                                    "another, for evidence is never written over"});
    const fs::path parent = place.has_parent_path() ? place.parent_path() : fs::path(".");
    if (!fs::is_directory(parent, error))
        return tl::unexpected(PackError{PackError::Kind::missing,
                                        "there is no folder " + parent.string() + "; make it"});
    return {};
}

Done write(const fs::path& folder, const Contents& contents) {
    const fs::path place = without_slash(folder);
    if (auto free = may_write(place); !free)
        return free;
    const fs::path parent = place.has_parent_path() ? place.parent_path() : fs::path(".");
    // In the same folder, so that it can be moved in one step.
    const fs::path unfinished =
        parent / ("." + place.filename().string() + ".unfinished-" + std::to_string(::getpid()));
    Done done = write_all(unfinished, contents);
    if (done)
        done = move_folder(unfinished, place);
    if (done)
        return sync_folder(parent);
    std::error_code ignored;
    fs::remove_all(unfinished, ignored);
    return done;
}

} // namespace slotwitness::pack
