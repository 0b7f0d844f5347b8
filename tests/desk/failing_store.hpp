#pragma once

#include <slotwitness/journal/store.hpp>

#include <nlohmann/json.hpp>

#include <atomic>
#include <memory>
#include <utility>

namespace slotwitness::twins {

/// A real store whose disk a test can fill and empty.
class FailingStore final : public journal::Store {
  public:
    FailingStore(std::unique_ptr<journal::Store> store, std::shared_ptr<std::atomic<bool>> full)
        : store_(std::move(store)), full_(std::move(full)) {}

    tl::expected<journal::Entry, journal::StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<journal::Capture>& captures) override {
        if (*full_)
            return tl::unexpected(journal::StoreError{journal::StoreError::Kind::unavailable,
                                                      "the disk is full (a test says so)"});
        return store_->append(chassis, body, captures);
    }
    tl::expected<std::vector<journal::Entry>, journal::StoreError>
    entries(std::string_view chassis, std::uint64_t from, std::size_t most) override {
        return store_->entries(chassis, from, most);
    }
    tl::expected<std::vector<std::string>, journal::StoreError> chassis() override {
        return store_->chassis();
    }
    tl::expected<std::optional<std::string>, journal::StoreError>
    capture(std::string_view digest) override {
        return store_->capture(digest);
    }

  private:
    std::unique_ptr<journal::Store> store_;
    std::shared_ptr<std::atomic<bool>> full_;
};

} // namespace slotwitness::twins
