#include "chain_stream.hpp"

#include "tar.hpp"

#include <slotwitness/journal/codec.hpp>

#include <nlohmann/json.hpp>

#include <utility>

namespace slotwitness::pack {

namespace {

using journal::StoreError;

/// Entries are some hundred bytes, an opened procedure some ten thousand.
constexpr std::size_t page = 256;

StoreError damaged(std::string text) {
    return {StoreError::Kind::damaged, std::move(text)};
}

} // namespace

tl::expected<ChainStream, StoreError> ChainStream::begin(std::unique_ptr<journal::Store> store,
                                                         ChainWish wish) {
    ChainStream stream(std::move(store), std::move(wish));
    if (auto surveyed = stream.survey(); !surveyed)
        return tl::unexpected(std::move(surveyed.error()));
    return stream;
}

tl::expected<void, StoreError> ChainStream::survey() {
    for (;;) {
        const auto entries = store_->entries(wish_.chassis, head_.sequence + 1, page);
        if (!entries)
            return tl::unexpected(entries.error());
        if (entries->empty())
            return {};
        for (const journal::Entry& entry : *entries) {
            // Each page is verified by itself; this is where pages meet.
            if (const auto what = journal::broken(entry, wish_.chassis, head_))
                return tl::unexpected(damaged(*what));
            const auto decoded = journal::from_line(entry.line);
            if (!decoded)
                return tl::unexpected(
                    damaged("entry " + std::to_string(entry.sequence) + ": " + decoded.error()));
            if (const auto* run = std::get_if<witness::RunStarted>(&decoded->event.what))
                captures_.insert(run->profile);
            if (const auto* answer = std::get_if<witness::Answered>(&decoded->event.what))
                captures_.insert(answer->capture);
            if (const auto* opened = std::get_if<witness::ProcedureOpened>(&decoded->event.what);
                opened && !opened->text.empty())
                captures_.insert(opened->text);
            head_ = {entry.sequence, entry.hash};
            size_ += entry.line.size() + 1;
        }
    }
}

std::string ChainStream::header_of(const std::string& name, std::uint64_t size) const {
    const auto since = std::chrono::floor<std::chrono::seconds>(wish_.asked.time_since_epoch());
    return tar::header("evidence-" + wish_.procedure + "/" + name, size, since.count());
}

std::string ChainStream::file(const std::string& name, const std::string& bytes) const {
    return header_of(name, bytes.size()) + bytes + tar::padding(bytes.size());
}

std::string ChainStream::first_file() const {
    const nlohmann::json told = {{"format", chain_format},
                                 {"chassis", wish_.chassis},
                                 {"procedure", wish_.procedure},
                                 {"captured", units::to_rfc3339(wish_.asked)},
                                 {"events", std::to_string(head_.sequence)},
                                 {"head", head_.hash}};
    const std::string text =
        told.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
    return file("pack.json", text) + header_of("events", size_);
}

tl::expected<std::string, StoreError> ChainStream::next_lines() {
    const auto left = static_cast<std::size_t>(head_.sequence - written_);
    const auto entries = store_->entries(wish_.chassis, written_ + 1, std::min(page, left));
    if (!entries)
        return tl::unexpected(entries.error());
    if (entries->empty() && left > 0)
        return tl::unexpected(damaged("entry " + std::to_string(written_ + 1) + " of chassis " +
                                      wish_.chassis + " is gone"));
    std::string lines;
    for (const journal::Entry& entry : *entries)
        lines.append(entry.line).append("\n");
    written_ += entries->size();
    if (written_ == head_.sequence) {
        lines += tar::padding(size_);
        part_ = captures_.empty() ? Part::end : Part::captures;
    }
    return lines;
}

tl::expected<std::string, StoreError> ChainStream::next_capture() {
    const std::string digest = captures_.extract(captures_.begin()).value();
    if (captures_.empty())
        part_ = Part::end;
    const auto bytes = store_->capture(digest);
    if (!bytes)
        return tl::unexpected(bytes.error());
    if (!*bytes)
        return tl::unexpected(damaged("capture " + digest + " is not in the journal"));
    return file("captures/" + digest, **bytes);
}

tl::expected<std::string, StoreError> ChainStream::next() {
    switch (part_) {
    case Part::first_file:
        part_ = Part::lines;
        return first_file();
    case Part::lines:
        return next_lines();
    case Part::captures:
        return next_capture();
    case Part::end:
        part_ = Part::over;
        return tar::end();
    case Part::over:
        break;
    }
    return std::string();
}

} // namespace slotwitness::pack
