#include "durable.hpp"
#include "pack.hpp"

#include <slotwitness/journal/chain.hpp>
#include <slotwitness/journal/codec.hpp>

#include <algorithm>
#include <optional>
#include <utility>

namespace slotwitness::pack {

namespace {

namespace fs = std::filesystem;

class Opener {
  public:
    explicit Opener(fs::path folder) : folder_(std::move(folder)) {}

    tl::expected<Pack, std::vector<PackError>> open() && {
        read_description();
        if (auto profile = take(read_file(folder_ / "profile.toml")))
            pack_.profile = std::move(*profile);
        if (auto events = take(read_file(folder_ / "events")); events && errors_.empty())
            read_events(*events);
        if (!errors_.empty())
            return tl::unexpected(std::move(errors_));
        return std::move(pack_);
    }

  private:
    std::optional<std::string> take(tl::expected<std::string, PackError> read) {
        if (read)
            return std::move(*read);
        errors_.push_back(std::move(read.error()));
        return std::nullopt;
    }

    void damaged(const fs::path& file, const std::string& why) {
        errors_.push_back({PackError::Kind::damaged, file.string() + ": " + why});
    }

    void read_description() {
        const fs::path file = folder_ / "pack.json";
        const auto text = take(read_file(file));
        if (!text)
            return;
        const auto told = nlohmann::json::parse(*text, nullptr, false);
        const auto member = [&](const char* name) {
            const auto found = told.is_object() ? told.find(name) : told.end();
            return found != told.end() && found->is_string() ? found->get<std::string>()
                                                             : std::string();
        };
        const auto number =
            told.is_object() && told.contains("format") ? told["format"] : nlohmann::json();
        if (!number.is_number_integer() || number != format) {
            damaged(file, "its format is " + (number.is_null() ? "not told" : number.dump()) +
                              ", this program reads format " + std::to_string(format));
            return;
        }
        pack_.chassis = member("chassis");
        pack_.family = member("family");
        pack_.captured = member("captured");
        head_ = member("head");
        if (pack_.chassis.empty() || head_.empty())
            damaged(file, "it names no chassis or no head");
    }

    void read_events(std::string_view lines) {
        const fs::path file = folder_ / "events";
        journal::Head head;
        while (!lines.empty()) {
            const std::size_t end = lines.find('\n');
            if (end == std::string_view::npos) {
                damaged(file, "its last line is cut");
                return;
            }
            journal::Entry entry{pack_.chassis, head.sequence + 1, head.hash, "",
                                 std::string(lines.substr(0, end))};
            entry.hash = journal::digest_of(entry.line);
            if (const auto broken = journal::broken(entry, pack_.chassis, head)) {
                damaged(file, *broken);
                return;
            }
            head = {entry.sequence, entry.hash};
            lines.remove_prefix(end + 1);
            auto decoded = journal::from_line(entry.line);
            if (!decoded)
                damaged(file, "line " + std::to_string(entry.sequence) + ": " + decoded.error());
            else
                take_event(*decoded, file, entry.sequence);
        }
        if (head.hash != head_)
            damaged(file, "its last event is not the head that pack.json names");
    }

    void take_event(const journal::Decoded& decoded, const fs::path& file, std::uint64_t line) {
        if (const auto* run = std::get_if<witness::RunStarted>(&decoded.event.what)) {
            if (run->profile != journal::digest_of(pack_.profile))
                damaged(folder_ / "profile.toml",
                        "it is not the profile that event " + std::to_string(line) + " names");
            return;
        }
        const auto* answer = std::get_if<witness::Answered>(&decoded.event.what);
        if (!answer)
            return;
        if (!is_digest(answer->capture) || !is_digest(decoded.reading_digest)) {
            damaged(file, "line " + std::to_string(line) + " names no digest");
            return;
        }
        auto bytes = named("answers", answer->capture);
        const auto text = named("readings", decoded.reading_digest);
        if (!bytes || !text)
            return;
        auto reading = nlohmann::json::parse(*text, nullptr, false);
        if (reading.is_discarded())
            damaged(folder_ / "readings" / decoded.reading_digest, "it is not JSON");
        else
            pack_.answers.push_back({answer->asking, answer->capture, answer->ending,
                                     std::move(*bytes), std::move(reading),
                                     decoded.reading_digest});
    }

    /// A file that is named by its digest.
    std::optional<std::string> named(const char* folder, const std::string& digest) {
        const fs::path file = folder_ / folder / digest;
        auto bytes = take(read_file(file));
        if (bytes && journal::digest_of(*bytes) != digest) {
            damaged(file, "its SHA-256 is " + journal::digest_of(*bytes));
            return std::nullopt;
        }
        return bytes;
    }

    fs::path folder_;
    std::string head_;
    Pack pack_;
    std::vector<PackError> errors_;
};

} // namespace

tl::expected<Pack, std::vector<PackError>> open(const fs::path& folder) {
    return Opener{folder}.open();
}

} // namespace slotwitness::pack
