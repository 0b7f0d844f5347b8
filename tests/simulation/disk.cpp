#include "disk.hpp"

#include <slotwitness/journal/chain.hpp>

#include <nlohmann/json.hpp>

#include <optional>
#include <utility>

namespace slotwitness::simulation {

using journal::Capture;
using journal::Entry;
using journal::StoreError;

struct Disk::State {
    struct Written {
        Entry entry;
        std::vector<Capture> captures;
    };
    std::map<std::string, std::vector<Entry>, std::less<>> chains;
    std::map<std::string, std::string, std::less<>> captures;
    std::optional<Written> unconfirmed;
    unsigned process = 0;
    bool full = false;
    bool keeps = false;

    void write(Written written) {
        for (Capture& capture : written.captures)
            captures.try_emplace(std::move(capture.digest), std::move(capture.bytes));
        chains[written.entry.chassis].push_back(std::move(written.entry));
    }
};

namespace {

class DiskStore final : public journal::Store {
  public:
    explicit DiskStore(std::shared_ptr<Disk::State> disk)
        : disk_(std::move(disk)), process_(disk_->process) {}

    tl::expected<Entry, StoreError> append(std::string_view chassis, const nlohmann::json& body,
                                           const std::vector<Capture>& captures) override {
        if (process_ != disk_->process)
            return tl::unexpected(StoreError{StoreError::Kind::unavailable, "the process is gone"});
        const auto chain = disk_->chains.find(chassis);
        const journal::Head head =
            chain == disk_->chains.end()
                ? journal::Head()
                : journal::Head{chain->second.back().sequence, chain->second.back().hash};
        Entry entry = journal::next_entry(chassis, head, body);
        disk_->unconfirmed.reset();
        if (disk_->full) {
            if (disk_->keeps)
                disk_->unconfirmed = {std::move(entry), captures};
            return tl::unexpected(StoreError{StoreError::Kind::unavailable, "the disk is full"});
        }
        disk_->write({entry, captures});
        return entry;
    }
    tl::expected<std::vector<Entry>, StoreError>
    entries(std::string_view chassis, std::uint64_t from, std::size_t most) override {
        const auto chain = disk_->chains.find(chassis);
        if (chain == disk_->chains.end())
            return std::vector<Entry>();
        const std::size_t size = chain->second.size();
        const std::size_t first = std::min<std::size_t>(from - 1, size);
        const std::size_t last = first + std::min(most, size - first);
        const auto at = [&](std::size_t index) {
            return chain->second.begin() + static_cast<std::ptrdiff_t>(index);
        };
        return std::vector<Entry>(at(first), at(last));
    }
    tl::expected<std::vector<std::string>, StoreError> chassis() override {
        std::vector<std::string> names;
        for (const auto& [name, chain] : disk_->chains)
            names.push_back(name);
        return names;
    }
    tl::expected<std::optional<std::string>, StoreError> capture(std::string_view digest) override {
        const auto found = disk_->captures.find(digest);
        return found == disk_->captures.end() ? std::nullopt : std::optional(found->second);
    }

  private:
    std::shared_ptr<Disk::State> disk_;
    unsigned process_;
};

} // namespace

Disk::Disk() : state_(std::make_shared<State>()) {}

std::unique_ptr<journal::Store> Disk::open() {
    found_.clear();
    if (auto kept = std::exchange(state_->unconfirmed, std::nullopt)) {
        found_ = kept->entry.line;
        state_->write(std::move(*kept));
    }
    return std::make_unique<DiskStore>(state_);
}

void Disk::kill() {
    ++state_->process;
}

void Disk::fill(bool keeps) {
    state_->full = true;
    state_->keeps = keeps;
}

void Disk::empty() {
    state_->full = false;
}

bool Disk::is_full() const {
    return state_->full;
}

const std::vector<Entry>& Disk::entries(const std::string& chassis) const {
    static const std::vector<Entry> none;
    const auto chain = state_->chains.find(chassis);
    return chain == state_->chains.end() ? none : chain->second;
}

std::string Disk::digest() const {
    std::string all;
    for (const auto& [name, chain] : state_->chains)
        all += name + " " + chain.back().hash + "\n";
    for (const auto& [digest, bytes] : state_->captures)
        all += digest + "\n";
    return journal::digest_of(all);
}

} // namespace slotwitness::simulation
