#pragma once

#include "../twins/passing_store.hpp"

#include <nlohmann/json.hpp>

#include <atomic>
#include <memory>
#include <utility>

namespace slotwitness::twins {

/// A real store whose disk a test can fill and empty.
class FailingStore final : public PassingStore {
  public:
    FailingStore(std::unique_ptr<journal::Store> store, std::shared_ptr<std::atomic<bool>> full)
        : PassingStore(std::move(store)), full_(std::move(full)) {}

    tl::expected<journal::Entry, journal::StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<journal::Capture>& captures) override {
        if (*full_)
            return tl::unexpected(journal::StoreError{journal::StoreError::Kind::unavailable,
                                                      "the disk is full (a test says so)"});
        return PassingStore::append(chassis, body, captures);
    }

  private:
    std::shared_ptr<std::atomic<bool>> full_;
};

} // namespace slotwitness::twins
