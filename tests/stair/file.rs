//! One file read: the names each of its modules gives, and every path it says.

use crate::paths::{self, Path};
use crate::words::{Token, tokens, without_tests};
use proc_macro2::{Span, TokenStream};
use std::collections::{HashMap, HashSet};
use syn::visit::{self, Visit};

/// What is read of a file.
#[derive(Debug, Default)]
pub struct Reading {
    pub tokens: Vec<Token>,
    /// The module of the file itself first, then those written inside it.
    pub scopes: Vec<Scope>,
    pub uses: Vec<Use>,
    /// Modules in other files which are declared for tests.
    pub for_tests: Vec<Path>,
}

/// The names a module gives.
#[derive(Debug, Default)]
pub struct Scope {
    pub module: Path,
    pub defines: HashSet<String>,
    pub imports: HashMap<String, Path>,
    pub globs: Vec<Path>,
}

/// A path that is said, in its own words but for `sottile`, which is written `crate`.
#[derive(Debug)]
pub struct Use {
    pub module: Path,
    pub path: Path,
    pub line: usize,
    pub how: How,
    /// `pub use`, however far.
    pub handed_on: bool,
}

/// How a path is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// In code.
    Said,
    /// By `use`.
    Import,
    /// By `use`, which opens it.
    Glob,
}

/// Reads the text of the file of `module`.
///
/// # Errors
/// The line that is not Rust, and why.
pub fn read(module: Path, text: &str) -> Result<Reading, (usize, String)> {
    let stream: TokenStream = text.parse().map_err(|e: proc_macro2::LexError| at(e.span(), &e))?;
    let (stream, for_tests) = without_tests(stream);
    let mut reading = Reading { tokens: tokens(stream.clone()), ..Reading::default() };
    let file: syn::File = syn::parse2(stream).map_err(|e| at(e.span(), &e))?;
    reading.for_tests = for_tests.into_iter().map(|name| paths::below(&module, &name)).collect();
    reading.scopes.push(Scope { module, ..Scope::default() });
    Reader { reading: &mut reading, scope: 0, bodies: 0, bound: HashSet::new() }.visit_file(&file);
    Ok(reading)
}

fn at(span: Span, error: &dyn std::fmt::Display) -> (usize, String) {
    (span.start().line, error.to_string())
}

struct Reader<'r> {
    reading: &'r mut Reading,
    /// The module that is being read.
    scope: usize,
    /// How many blocks deep; items in there give the module no names.
    bodies: usize,
    /// Names bound by patterns in this function, which a lone small name is taken for.
    bound: HashSet<String>,
}

impl Reader<'_> {
    fn said(&mut self, path: Path, span: Span) {
        self.used(path, span.start().line, How::Said, false);
    }

    fn used(&mut self, path: Path, line: usize, how: How, handed_on: bool) {
        let module = self.reading.scopes[self.scope].module.clone();
        self.reading.uses.push(Use { module, path, line, how, handed_on });
    }

    /// A lone name that stands for a value, unless it is a variable.
    fn lone(&mut self, name: &syn::Ident) {
        if paths::is_small(&name.to_string()) && !self.bound.contains(&name.to_string()) {
            self.said(vec![name.to_string()], name.span());
        }
    }

    fn import(&mut self, tree: &syn::UseTree, mut before: Path, handed_on: bool) {
        let (name, known_as, glob) = match tree {
            syn::UseTree::Path(tree) => {
                before.push(paths::root(&tree.ident.to_string()));
                return self.import(&tree.tree, before, handed_on);
            }
            syn::UseTree::Group(group) => {
                return group.items.iter().for_each(|tree| self.import(tree, before.clone(), handed_on));
            }
            syn::UseTree::Name(tree) => (Some(&tree.ident), tree.ident.to_string(), None),
            syn::UseTree::Rename(tree) => (Some(&tree.ident), tree.rename.to_string(), None),
            syn::UseTree::Glob(tree) => (None, String::new(), Some(tree.star_token.spans[0])),
        };
        let known_as = if known_as == "self" { before.last().cloned().unwrap_or_default() } else { known_as };
        let line = name.map(syn::Ident::span).or(glob).map_or(0, |span| span.start().line);
        before.extend(name.map(|n| paths::root(&n.to_string())).filter(|n| n != "self" || before.is_empty()));
        let scope = &mut self.reading.scopes[self.scope];
        match glob {
            Some(_) => scope.globs.push(before.clone()),
            None => drop(scope.imports.entry(known_as).or_insert_with(|| before.clone())),
        }
        self.used(before, line, if glob.is_some() { How::Glob } else { How::Import }, handed_on);
    }

    fn define(&mut self, item: &syn::Item) {
        let name = match item {
            syn::Item::Const(item) => &item.ident,
            syn::Item::Enum(item) => &item.ident,
            syn::Item::Fn(item) => &item.sig.ident,
            syn::Item::Macro(syn::ItemMacro { ident: Some(name), .. }) => name,
            syn::Item::Static(item) => &item.ident,
            syn::Item::Struct(item) => &item.ident,
            syn::Item::Trait(item) => &item.ident,
            syn::Item::Type(item) => &item.ident,
            syn::Item::Union(item) => &item.ident,
            _ => return,
        };
        self.reading.scopes[self.scope].defines.insert(name.to_string());
    }

    fn in_function(&mut self, bound: HashSet<String>, read: impl FnOnce(&mut Self)) {
        let outer = self.bound.clone();
        self.bound.extend(bound);
        read(self);
        self.bound = outer;
    }
}

impl<'ast> Visit<'ast> for Reader<'_> {
    fn visit_item(&mut self, item: &'ast syn::Item) {
        if self.bodies == 0 {
            self.define(item);
        }
        visit::visit_item(self, item);
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        let Some((_, items)) = &item.content else { return };
        let outer = self.scope;
        let module = paths::below(&self.reading.scopes[outer].module, &item.ident.to_string());
        self.scope = self.reading.scopes.len();
        self.reading.scopes.push(Scope { module, ..Scope::default() });
        items.iter().for_each(|item| self.visit_item(item));
        self.scope = outer;
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        if item.leading_colon.is_none() {
            let handed_on = !matches!(item.vis, syn::Visibility::Inherited);
            self.import(&item.tree, Path::new(), handed_on);
        }
    }

    fn visit_visibility(&mut self, _: &'ast syn::Visibility) {}

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        self.in_function(Bound::by(|b| b.visit_item_fn(item)), |r| visit::visit_item_fn(r, item));
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        self.in_function(Bound::by(|b| b.visit_impl_item_fn(item)), |r| visit::visit_impl_item_fn(r, item));
    }

    fn visit_trait_item_fn(&mut self, item: &'ast syn::TraitItemFn) {
        self.in_function(Bound::by(|b| b.visit_trait_item_fn(item)), |r| visit::visit_trait_item_fn(r, item));
    }

    fn visit_block(&mut self, block: &'ast syn::Block) {
        self.bodies += 1;
        visit::visit_block(self, block);
        self.bodies -= 1;
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names: Path = path.segments.iter().map(|s| paths::root(&s.ident.to_string())).collect();
        if path.leading_colon.is_none() && (names.len() > 1 || !paths::is_small(&names[0])) {
            self.said(names, path.segments[0].ident.span());
        }
        visit::visit_path(self, path);
    }

    fn visit_expr_path(&mut self, expr: &'ast syn::ExprPath) {
        expr.path.get_ident().into_iter().for_each(|name| self.lone(name));
        visit::visit_expr_path(self, expr);
    }

    /// What is called is a function even if a variable has its name: `let size = size(panel);`.
    fn visit_expr_call(&mut self, call: &'ast syn::ExprCall) {
        if let syn::Expr::Path(called) = &*call.func
            && let Some(name) = called.path.get_ident()
        {
            self.said(vec![name.to_string()], name.span());
        }
        visit::visit_expr_call(self, call);
    }

    /// A lone great name as a pattern is a constant or a variant.
    fn visit_pat_ident(&mut self, pattern: &'ast syn::PatIdent) {
        if !paths::is_small(&pattern.ident.to_string()) {
            self.said(vec![pattern.ident.to_string()], pattern.ident.span());
        }
        visit::visit_pat_ident(self, pattern);
    }

    fn visit_macro(&mut self, called: &'ast syn::Macro) {
        self.visit_path(&called.path);
        self.visit_tokens(&called.tokens);
    }

    fn visit_item_macro(&mut self, item: &'ast syn::ItemMacro) {
        self.visit_macro(&item.mac);
    }

    fn visit_attribute(&mut self, attribute: &'ast syn::Attribute) {
        match &attribute.meta {
            syn::Meta::List(list) => {
                self.visit_path(&list.path);
                self.visit_tokens(&list.tokens);
            }
            other => visit::visit_meta(self, other),
        }
    }
}

impl Reader<'_> {
    /// What macros and attributes are given is no Rust yet, but paths in it look like paths.
    fn visit_tokens(&mut self, stream: &TokenStream) {
        for (path, line) in paths::in_tokens(&tokens(stream.clone())) {
            self.used(path, line, How::Said, false);
        }
    }
}

/// Collects the names that patterns bind.
struct Bound(HashSet<String>);

impl Bound {
    fn by(read: impl FnOnce(&mut Bound)) -> HashSet<String> {
        let mut bound = Bound(HashSet::new());
        read(&mut bound);
        bound.0
    }
}

impl<'ast> Visit<'ast> for Bound {
    fn visit_pat_ident(&mut self, pattern: &'ast syn::PatIdent) {
        self.0.insert(pattern.ident.to_string());
        visit::visit_pat_ident(self, pattern);
    }
}
