#pragma once

#include <slotwitness/journal/store.hpp>

#include <nlohmann/json.hpp>

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace slotwitness::twins {

/// Hands everything on to another store. What a test wants otherwise it overrides.
class PassingStore : public journal::Store {
  public:
    explicit PassingStore(std::unique_ptr<journal::Store> store) : store_(std::move(store)) {}

    tl::expected<journal::Entry, journal::StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<journal::Capture>& captures) override {
        return store_->append(chassis, body, captures);
    }
    tl::expected<void, journal::StoreError> begin_group() override { return store_->begin_group(); }
    tl::expected<void, journal::StoreError> commit_group() override {
        return store_->commit_group();
    }
    tl::expected<std::vector<journal::Entry>, journal::StoreError>
    entries(std::string_view chassis, std::uint64_t from = 1, std::size_t most = all) override {
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
};

} // namespace slotwitness::twins
