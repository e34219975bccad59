// SPDX-License-Identifier: BSL-1.0
// The same packing asked of an integer-programming solver, GLPK.
#pragma once

#include <glpk.h>

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "tests/unit/search/random_packing.hpp"

namespace tapewright::test {

/// What GLPK found and proved.
struct glpk_packing {
  bool fits = false;
  long long price = 0;
};

/// Solves a packing whose prices are all known, or gives up the whole program where GLPK does not end with
/// a proof.
///
/// Model     bin j is the one whose first item is j, so that no two ways to number the bins are both looked
///           at: x[i][j] = item i in bin j, j <= i; y[j][t] = bin j is of type t; p[t] parts bought.
///               sum_j x[i][j] = 1                        every item in one bin
///               x[j][j] = sum_t y[j][t]                  a bin has a type exactly if it is used
///               x[i][j] <= x[j][j]
///               sum_i load_i x[i][j] <= sum_t capacity_t y[j][t], likewise least loads and counts of items
///               sum_j y[j][t] <= outputs_t p[t]
///               sum_jt leads y[j][t] = 1                 where one leads: a type in each of its two roles
/// Objective sum_t price_t p[t]
class glpk_model {
 public:
  explicit glpk_model(const packing_case& c) : c_{c}, n_{static_cast<int>(c.items.size())} {
    glp_term_out(GLP_OFF);
    lp_ = glp_create_prob();
    glp_set_obj_dir(lp_, GLP_MIN);
    make_roles();
    make_columns();
    make_rows();
  }
  ~glpk_model() { glp_delete_prob(lp_); }
  glpk_model(const glpk_model&) = delete;
  glpk_model& operator=(const glpk_model&) = delete;

  glpk_packing solve() {
    glp_iocp how;
    glp_init_iocp(&how);
    how.presolve = GLP_ON;
    how.gmi_cuts = how.mir_cuts = GLP_ON;  // cover cuts end the program where nothing is left to cut (5.0)
    how.tm_lim =
        300'000;  // ms: far above what any case takes; no answer of a slow machine passes for a proof
    const int ended = glp_intopt(lp_, &how);
    if (ended == GLP_ENOPFS || ended == GLP_ENODFS) return {};
    const int status = glp_mip_status(lp_);
    if (ended == 0 && status == GLP_NOFEAS) return {};
    if (ended != 0 || status != GLP_OPT) {
      std::fprintf(stderr, "GLPK ended with %d, status %d: no proof to compare with\n", ended, status);
      std::abort();
    }
    return {true, static_cast<long long>(glp_mip_obj_val(lp_) + 0.5)};
  }

 private:
  struct role {
    std::size_t type;
    bool leads;
  };

  void make_roles() {
    for (std::size_t t = 0; t < c_.types.size(); ++t) {
      if (!c_.one_leads || c_.types[t].may_follow) roles_.push_back({t, false});
      if (c_.one_leads && c_.types[t].may_lead) roles_.push_back({t, true});
    }
  }
  int column(double price, bool whole_number) {
    const int at = glp_add_cols(lp_, 1);
    glp_set_obj_coef(lp_, at, price);
    if (whole_number) {
      glp_set_col_kind(lp_, at, GLP_IV);
      glp_set_col_bnds(lp_, at, GLP_DB, 0, n_);
    } else {
      glp_set_col_kind(lp_, at, GLP_BV);
    }
    return at;
  }
  void make_columns() {
    for (const packing_type& type : c_.types)
      p_.push_back(column(static_cast<double>(type.price.minor), true));
    for (int j = 0; j < n_; ++j) {
      std::vector<int> x(static_cast<std::size_t>(n_), 0), y;
      for (int i = j; i < n_; ++i) x[static_cast<std::size_t>(i)] = column(0, false);
      for (std::size_t r = 0; r < roles_.size(); ++r) y.push_back(column(0, false));
      x_.push_back(x);
      y_.push_back(y);
    }
  }

  // one row: coefficients gathered, then bounds
  void term(int at, double by) {
    index_.push_back(at);
    value_.push_back(by);
  }
  void row(int kind, double lower, double upper) {
    const int at = glp_add_rows(lp_, 1);
    glp_set_row_bnds(lp_, at, kind, lower, upper);
    index_.insert(index_.begin(), 0);  // GLPK counts from 1
    value_.insert(value_.begin(), 0.0);
    glp_set_mat_row(lp_, at, static_cast<int>(index_.size()) - 1, index_.data(), value_.data());
    index_.clear();
    value_.clear();
  }
  int x(int item, int bin) const { return x_[static_cast<std::size_t>(bin)][static_cast<std::size_t>(item)]; }
  template <class Figure>
  void types_of(int bin, Figure figure) {
    for (std::size_t r = 0; r < roles_.size(); ++r)
      term(y_[static_cast<std::size_t>(bin)][r], -static_cast<double>(figure(c_.types[roles_[r].type])));
  }
  void loads_of(int bin, int load) {
    for (int i = bin; i < n_; ++i)
      term(x(i, bin), static_cast<double>(c_.items[static_cast<std::size_t>(i)].load[load]));
  }

  void make_rows() {
    for (int i = 0; i < n_; ++i) {
      for (int j = 0; j <= i; ++j) term(x(i, j), 1);
      row(GLP_FX, 1, 1);
    }
    for (int j = 0; j < n_; ++j) {
      term(x(j, j), 1);
      types_of(j, [](const packing_type&) { return 1; });
      row(GLP_FX, 0, 0);
      for (int i = j + 1; i < n_; ++i) {
        term(x(i, j), 1);
        term(x(j, j), -1);
        row(GLP_UP, 0, 0);
      }
      for (int d = 0; d < c_.loads; ++d) {
        loads_of(j, d);
        types_of(j, [&](const packing_type& t) { return t.capacity[d]; });
        row(GLP_UP, 0, 0);
      }
      loads_of(j, c_.oversize_in);
      types_of(j, [](const packing_type& t) { return t.least; });
      row(GLP_LO, 0, 0);
      for (int i = j; i < n_; ++i) term(x(i, j), 1);
      types_of(j, [&](const packing_type& t) { return t.most_items > 0 ? t.most_items : n_; });
      row(GLP_UP, 0, 0);
    }
    for (std::size_t t = 0; t < c_.types.size(); ++t) {
      for (int j = 0; j < n_; ++j)
        for (std::size_t r = 0; r < roles_.size(); ++r)
          if (roles_[r].type == t) term(y_[static_cast<std::size_t>(j)][r], 1);
      term(p_[t], -c_.types[t].outputs);
      row(GLP_UP, 0, 0);
    }
    if (!c_.one_leads) return;
    for (int j = 0; j < n_; ++j)
      for (std::size_t r = 0; r < roles_.size(); ++r)
        if (roles_[r].leads) term(y_[static_cast<std::size_t>(j)][r], 1);
    row(GLP_FX, 1, 1);
  }

  const packing_case& c_;
  int n_;
  glp_prob* lp_ = nullptr;
  std::vector<role> roles_;
  std::vector<int> p_;
  std::vector<std::vector<int>> x_, y_;
  std::vector<int> index_;
  std::vector<double> value_;
};

}  // namespace tapewright::test
