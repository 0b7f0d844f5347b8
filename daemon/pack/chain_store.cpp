#include "chain_store.hpp"

#include "chain_stream.hpp"
#include "durable.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::pack {

namespace {

namespace fs = std::filesystem;
using journal::Entry;
using journal::StoreError;

StoreError damaged(const fs::path& file, const std::string& why) {
    return {StoreError::Kind::damaged, file.string() + ": " + why};
}

tl::expected<std::string, StoreError> bytes_of(const fs::path& file) {
    auto bytes = read_file(file);
    if (!bytes)
        return tl::unexpected(StoreError{StoreError::Kind::damaged, bytes.error().text});
    return std::move(*bytes);
}

class ChainStore final : public journal::Store {
  public:
    ChainStore(fs::path folder, std::string chassis, std::vector<Entry> entries)
        : folder_(std::move(folder)), chassis_(std::move(chassis)), entries_(std::move(entries)) {}

    [[nodiscard]] tl::expected<Entry, StoreError>
    append(std::string_view, const nlohmann::json&, const std::vector<journal::Capture>&) override {
        return tl::unexpected(StoreError{StoreError::Kind::misuse, "a pack is read alone"});
    }
    [[nodiscard]] tl::expected<std::vector<Entry>, StoreError>
    entries(std::string_view chassis, std::uint64_t from, std::size_t most) override {
        if (chassis != chassis_)
            return std::vector<Entry>();
        const auto first =
            std::min<std::uint64_t>(std::max<std::uint64_t>(from, 1) - 1, entries_.size());
        const auto last = first + std::min<std::uint64_t>(most, entries_.size() - first);
        const auto at = [this](std::uint64_t index) {
            return entries_.begin() + static_cast<std::ptrdiff_t>(index);
        };
        return std::vector<Entry>(at(first), at(last));
    }
    [[nodiscard]] tl::expected<std::vector<std::string>, StoreError> chassis() override {
        return std::vector<std::string>{chassis_};
    }
    [[nodiscard]] tl::expected<std::optional<std::string>, StoreError>
    capture(std::string_view digest) override {
        if (!is_digest(digest))
            return std::optional<std::string>();
        const fs::path file = folder_ / "captures" / digest;
        auto bytes = bytes_of(file);
        if (!bytes)
            return tl::unexpected(std::move(bytes.error()));
        if (const std::string found = journal::digest_of(*bytes); found != digest)
            return tl::unexpected(damaged(file, "it was altered: its SHA-256 is " + found));
        return std::optional(std::move(*bytes));
    }

  private:
    fs::path folder_;
    std::string chassis_;
    std::vector<Entry> entries_;
};

/// The chain's lines, verified from the first to the head that pack.json names.
tl::expected<std::vector<Entry>, StoreError> entries_in(std::string_view lines,
                                                        const fs::path& file,
                                                        const std::string& chassis,
                                                        const std::string& end) {
    std::vector<Entry> entries;
    journal::Head head;
    while (!lines.empty()) {
        const std::size_t feed = lines.find('\n');
        if (feed == std::string_view::npos)
            return tl::unexpected(damaged(file, "its last line is cut"));
        Entry entry{chassis, head.sequence + 1, head.hash, "", std::string(lines.substr(0, feed))};
        entry.hash = journal::digest_of(entry.line);
        if (const auto broken = journal::broken(entry, chassis, head))
            return tl::unexpected(damaged(file, *broken));
        head = {entry.sequence, entry.hash};
        lines.remove_prefix(feed + 1);
        entries.push_back(std::move(entry));
    }
    if (head.hash != end)
        return tl::unexpected(damaged(file, "its last event is not the head that pack.json names"));
    return entries;
}

} // namespace

tl::expected<std::unique_ptr<journal::Store>, StoreError> open_chain(const fs::path& folder) {
    const fs::path description = folder / "pack.json";
    const auto text = bytes_of(description);
    if (!text)
        return tl::unexpected(text.error());
    const auto told = nlohmann::json::parse(*text, nullptr, false);
    const auto member = [&](const char* name) {
        const auto found = told.is_object() ? told.find(name) : told.end();
        return found != told.end() && found->is_string() ? found->get<std::string>() : "";
    };
    if (!told.is_object() || !told.contains("format") || told["format"] != chain_format)
        return tl::unexpected(
            damaged(description, "it does not hold a chain as recorded, which is format " +
                                     std::to_string(chain_format) +
                                     "; \"slotwitness read --check\" reads "
                                     "packs of answers"));
    const std::string chassis = member("chassis");
    if (chassis.empty())
        return tl::unexpected(damaged(description, "it names no chassis"));
    const fs::path file = folder / "events";
    const auto lines = bytes_of(file);
    if (!lines)
        return tl::unexpected(lines.error());
    auto entries = entries_in(*lines, file, chassis, member("head"));
    if (!entries)
        return tl::unexpected(std::move(entries.error()));
    return std::make_unique<ChainStore>(folder, chassis, std::move(*entries));
}

} // namespace slotwitness::pack
