#pragma once

#include "say.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <variant>
#include <vector>

namespace slotwitness::witness {

/// Every component that a condition calls by name, also in `except` and `served by`.
class Called {
  public:
    explicit Called(const sentences::Condition& condition) { visit(condition); }
    [[nodiscard]] const std::vector<Component>& components() const { return components_; }

  private:
    void visit(const sentences::Condition& condition) {
        std::visit([this](const auto& node) { visit(node); }, condition.node);
    }
    void visit(const sentences::Named& named) { components_.push_back({named.kind, named.name}); }
    void visit(const sentences::Group& group) {
        for (const std::string& name : group.except)
            components_.push_back({group.kind, name});
        if (group.served_by)
            visit(*group.served_by);
    }
    void visit(const sentences::OneIs& node) { visit(node.subject); }
    void visit(const sentences::EveryIs& node) { visit(node.group); }
    void visit(const sentences::CountIs& node) { visit(node.group); }
    void visit(const sentences::NoAlarm&) {}
    void visit(const sentences::CapacityCovers& node) { visit_either(node.without); }
    void visit(const sentences::Earlier& node) {
        std::visit([this](const auto& form) { visit(form); }, node.comparison);
    }
    void visit(const sentences::NoNewAlarm&) {}
    void visit(const sentences::TextCompared& node) { visit_either(node.subject); }
    void visit(const sentences::StillIs& node) { visit(node.group); }
    void visit(const sentences::ErrorsNotRising& node) { visit_either(node.subject); }
    void visit_either(const std::variant<sentences::Named, sentences::Group>& subject) {
        std::visit([this](const auto& either) { visit(either); }, subject);
    }
    void visit(const sentences::Not& node) { visit_all(node.operand); }
    void visit(const sentences::And& node) { visit_all(node.operands); }
    void visit(const sentences::Or& node) { visit_all(node.operands); }
    void visit_all(const std::vector<sentences::Condition>& operands) {
        for (const sentences::Condition& operand : operands)
            visit(operand);
    }

    std::vector<Component> components_;
};

} // namespace slotwitness::witness
