#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <memory>
#include <string>
#include <vector>

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

/// What may go into a shell besides queries: only `Guard` can make one.
class ApprovedShell {
  public:
    [[nodiscard]] const std::vector<ApprovedQuery>& session_queries() const { return queries_; }
    /// How it is spoken to; its pager key is the only other byte that may be sent, with the end of
    /// a line.
    [[nodiscard]] const profiles::Shell& how() const { return how_; }
    [[nodiscard]] const std::vector<std::string>& pagers() const { return pagers_; }

  private:
    friend class Guard;
    ApprovedShell(profiles::Shell how, std::vector<std::string> pagers,
                  std::vector<ApprovedQuery> queries)
        : how_(std::move(how)), pagers_(std::move(pagers)), queries_(std::move(queries)) {}
    profiles::Shell how_;
    std::vector<std::string> pagers_;
    std::vector<ApprovedQuery> queries_;
};

/// Lets through what the profile lists, with parameters of their closed alphabets; nothing else.
class Guard {
  public:
    explicit Guard(const profiles::Profile& profile) : profile_(profile) {}
    [[nodiscard]] tl::expected<ApprovedQuery, state::Problem>
    approve(const profiles::Asking& asking) const;
    /// Nothing unless the family is reached by shell.
    [[nodiscard]] std::shared_ptr<const ApprovedShell> approve_shell() const;

  private:
    const profiles::Profile& profile_; ///< outlives the guard
};

} // namespace slotwitness::links
