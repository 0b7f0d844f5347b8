#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <string>

namespace slotwitness::links {

/// The bytes of one query that the guard let through. Only `Guard` can make one, and a link sends
/// nothing else: the only door to the wire.
class ApprovedQuery {
  public:
    [[nodiscard]] const std::string& bytes() const { return bytes_; }
    [[nodiscard]] const std::string& key() const { return key_; }

  private:
    friend class Guard;
    ApprovedQuery(std::string key, std::string bytes)
        : key_(std::move(key)), bytes_(std::move(bytes)) {}
    std::string key_;
    std::string bytes_;
};

/// Lets through what the profile lists, with parameters of their closed alphabets; nothing else.
class Guard {
  public:
    explicit Guard(const profiles::Profile& profile) : profile_(profile) {}
    [[nodiscard]] tl::expected<ApprovedQuery, state::Problem>
    approve(const profiles::Asking& asking) const;

  private:
    const profiles::Profile& profile_; ///< outlives the guard
};

} // namespace slotwitness::links
