//! Graphs of numbered nodes: edges in one flat list, strongly connected components, order.
//!
//! Always: no recursion, so a chain of any length is no danger to the stack; the same input gives the same order.
//! Not known here: what a node stands for.

/// Edges by source node, in two flat lists.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    starts: Vec<u32>,
    targets: Vec<u32>,
}

impl Graph {
    /// A graph of `nodes` nodes with these edges, in any order.
    pub fn new(nodes: usize, edges: &[(u32, u32)]) -> Graph {
        let mut starts = vec![0_u32; nodes + 1];
        for (from, _) in edges {
            if let Some(count) = starts.get_mut(*from as usize + 1) {
                *count += 1;
            }
        }
        let mut sum = 0;
        for start in &mut starts {
            sum += *start;
            *start = sum;
        }
        let mut next = starts.clone();
        let mut targets = vec![0; edges.len()];
        for (from, to) in edges {
            if let Some(at) = next.get_mut(*from as usize) {
                if let Some(target) = targets.get_mut(*at as usize) {
                    *target = *to;
                }
                *at += 1;
            }
        }
        Graph { starts, targets }
    }

    /// How many nodes there are.
    pub fn count(&self) -> usize {
        self.starts.len().saturating_sub(1)
    }

    /// Where the edges of a node lie in the flat list.
    pub fn span(&self, node: u32) -> std::ops::Range<usize> {
        let at = node as usize;
        match (self.starts.get(at), self.starts.get(at + 1)) {
            (Some(from), Some(to)) => *from as usize..*to as usize,
            _ => 0..0,
        }
    }

    /// The nodes a node leads to.
    pub fn of(&self, node: u32) -> &[u32] {
        self.targets.get(self.span(node)).unwrap_or(&[])
    }

    /// Strongly connected components (Tarjan): each comes after all it leads to.
    pub fn components(&self) -> Vec<Vec<u32>> {
        const NEW: u32 = u32::MAX;
        let nodes = self.count();
        let mut index = vec![NEW; nodes];
        let mut low = vec![0_u32; nodes];
        let mut waiting = vec![false; nodes];
        let mut stack: Vec<u32> = Vec::new();
        let mut path: Vec<(u32, usize)> = Vec::new();
        let mut counter = 0;
        let mut out = Vec::new();
        let get = |list: &[u32], node: u32| list.get(node as usize).copied().unwrap_or(NEW);
        fn set<T>(list: &mut [T], node: u32, value: T) {
            if let Some(slot) = list.get_mut(node as usize) {
                *slot = value;
            }
        }
        for root in 0..u32::try_from(nodes).unwrap_or(u32::MAX) {
            if get(&index, root) != NEW {
                continue;
            }
            path.push((root, 0));
            while let Some((node, edge)) = path.pop() {
                if edge == 0 {
                    set(&mut index, node, counter);
                    set(&mut low, node, counter);
                    set(&mut waiting, node, true);
                    counter += 1;
                    stack.push(node);
                }
                let mut deeper = None;
                let mut at = edge;
                for next in self.of(node).iter().skip(edge) {
                    at += 1;
                    if get(&index, *next) == NEW {
                        deeper = Some(*next);
                        break;
                    }
                    if waiting.get(*next as usize).copied().unwrap_or(false) {
                        let lower = get(&low, node).min(get(&index, *next));
                        set(&mut low, node, lower);
                    }
                }
                if let Some(next) = deeper {
                    path.push((node, at));
                    path.push((next, 0));
                    continue;
                }
                if get(&low, node) == get(&index, node) {
                    let mut component = Vec::new();
                    while let Some(member) = stack.pop() {
                        set(&mut waiting, member, false);
                        component.push(member);
                        if member == node {
                            break;
                        }
                    }
                    component.reverse();
                    out.push(component);
                }
                if let Some((parent, _)) = path.last() {
                    let lower = get(&low, *parent).min(get(&low, node));
                    set(&mut low, *parent, lower);
                }
            }
        }
        out
    }

    /// An order in which every node comes after all that lead to it, as far as there is one (Kahn); nodes on loops and behind
    /// them are missing.
    pub fn order(&self) -> Vec<u32> {
        let nodes = self.count();
        let mut open = vec![0_u32; nodes];
        for target in &self.targets {
            if let Some(count) = open.get_mut(*target as usize) {
                *count += 1;
            }
        }
        let mut order: Vec<u32> = (0_u32..)
            .zip(&open)
            .filter(|(_, count)| **count == 0)
            .map(|(node, _)| node)
            .collect();
        order.reserve(nodes.saturating_sub(order.len()));
        let mut done = 0;
        while let Some(node) = order.get(done).copied() {
            done += 1;
            for target in self.of(node) {
                if let Some(count) = open.get_mut(*target as usize) {
                    *count -= 1;
                    if *count == 0 {
                        order.push(*target);
                    }
                }
            }
        }
        order
    }

    /// A way from a node back to itself through `among`; the node alone where it leads straight to itself.
    pub fn way_back(&self, from: u32, among: &dyn Fn(u32) -> bool) -> Vec<u32> {
        let mut came: std::collections::HashMap<u32, u32> = std::collections::HashMap::new();
        let mut queue = std::collections::VecDeque::from([from]);
        while let Some(node) = queue.pop_front() {
            for next in self.of(node) {
                if *next == from {
                    let mut way = vec![node];
                    let mut at = node;
                    while at != from {
                        match came.get(&at) {
                            Some(before) => at = *before,
                            None => break,
                        }
                        way.push(at);
                    }
                    way.reverse();
                    return way;
                }
                if among(*next) && !came.contains_key(next) && *next != from {
                    came.insert(*next, node);
                    queue.push_back(*next);
                }
            }
        }
        Vec::new()
    }
}
